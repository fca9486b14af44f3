"""Sheets of paper and marker pages, found in a picture."""
