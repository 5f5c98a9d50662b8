"""Millrace Juniors: an invented club by a river, to try everything on. No such club, child or adult exists."""
