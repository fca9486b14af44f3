"""Hides, offcuts and their flaws."""
