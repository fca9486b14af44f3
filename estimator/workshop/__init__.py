"""An order from its files to its estimate."""
