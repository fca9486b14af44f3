"""Leather as lots: on the rack, promised, cut into offcuts that carry their share of the price."""
