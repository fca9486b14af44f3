"""Patterns and marker pages in true size: as drawings, and to print."""
