"""Commands on the shop's records: jobs, the shelf, what to buy, and their upkeep."""
