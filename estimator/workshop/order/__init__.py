"""An order, its file, and the nesting problem made of it."""
