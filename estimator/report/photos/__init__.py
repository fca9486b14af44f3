"""What was found in a photograph, as files, pictures and words."""
