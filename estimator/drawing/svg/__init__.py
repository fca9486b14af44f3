"""SVG drawings, read and written."""
