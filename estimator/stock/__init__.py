"""The shop's records: leather on the rack, the stock ledger, jobs, and what is learned of them."""
