"""Tables and texts for the terminal, and the values they show."""
