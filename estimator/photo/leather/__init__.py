"""The outline of the leather in a photograph, and what looks like a flaw on it."""
