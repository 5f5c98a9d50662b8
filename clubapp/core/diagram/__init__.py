"""A set-up on the ground: plain data in true lengths, read from a file, drawn to scale, told in words."""
