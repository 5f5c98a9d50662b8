"""The people pages."""
