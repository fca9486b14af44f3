"""Records checked, written as CSV and read back, restored from a backup."""
