"""Pure functions on shapely values; no domain words."""
