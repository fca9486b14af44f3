"""Marks on paper, no meaning yet."""
