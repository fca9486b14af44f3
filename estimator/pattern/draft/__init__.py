"""A pattern drafted from a blade and a few choices."""
