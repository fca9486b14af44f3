"""A photograph: read, seen as a plane, made flat, laid together, marked."""
