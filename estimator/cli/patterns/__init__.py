"""Commands on blades and patterns."""
