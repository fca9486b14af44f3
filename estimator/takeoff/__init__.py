"""How much of everything a job takes, and how long."""
