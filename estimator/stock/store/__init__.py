"""The file that holds the records: its tables, its copies, what can be wrong with it."""
