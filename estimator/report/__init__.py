"""Estimates as pictures, pages, tables and JSON."""
