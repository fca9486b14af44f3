"""What goes into a sheath or wears out at it: leather, thread, glue, dye, finish, blades."""
