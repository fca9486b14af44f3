"""Commands on hides: the rack, hide maps from photographs, marker pages."""
