"""The price book: its records, and the readers of its file."""
