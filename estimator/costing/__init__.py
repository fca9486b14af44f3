"""What the shop pays, what the customer pays, and when."""
