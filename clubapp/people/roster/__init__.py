"""The roster as a file: which column means what, what a row says, what it would change, and the way back out."""
