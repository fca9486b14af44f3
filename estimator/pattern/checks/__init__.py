"""Findings about one pattern."""
