"""The search for a layout."""
