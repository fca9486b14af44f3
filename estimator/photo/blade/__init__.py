"""A knife on a sheet of paper, measured in a photograph."""
