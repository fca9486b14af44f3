"""Estimates as JSON, and the published forms of it."""
