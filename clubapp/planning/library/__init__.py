"""The activity library: cards, their files, and the sums on them. Knows no club."""
