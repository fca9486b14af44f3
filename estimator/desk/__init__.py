"""What a maker can do, as functions on a shop's folder; no screen, no web."""
