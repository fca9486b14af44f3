"""What a maker does with the records: jobs, rack, shelf, what to buy, and their upkeep."""
