"""Steps at the bench, their order, and the time they take."""
