"""Input of the people pages, parsed and checked."""
