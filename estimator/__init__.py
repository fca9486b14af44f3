"""Layout on the hide, take-off, cost, quote and cutting plan for a leather sheath maker."""
