"""What to know of an order before it is cut."""
