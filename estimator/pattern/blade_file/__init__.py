"""Blade files, read and written."""
