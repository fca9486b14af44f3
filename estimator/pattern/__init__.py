"""Parts of a sheath, and what is known of them before any hide is chosen."""
