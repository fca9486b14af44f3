"""Files put in their places: whole, together, and never over what the maker may have written."""
