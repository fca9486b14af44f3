"""Pictures: the layout on a hide, a checked pattern, the schedule, the batch curve."""
