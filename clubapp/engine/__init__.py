"""The sums behind a session. Pure: no Django, no clock, no input or output, no randomness without a seed."""
