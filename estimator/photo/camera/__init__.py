"""Where a camera stood, fitted to the sheets and pages it saw, and how far that may be off."""
