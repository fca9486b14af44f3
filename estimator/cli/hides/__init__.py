"""Commands on photographs of hides."""
