"""DXF drawings, read and written."""
