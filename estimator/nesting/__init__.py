"""Laying flat shapes on flawed sheets; knows polygons, needs and spoils, nothing of leather."""
