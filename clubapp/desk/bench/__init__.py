"""Measurements of the engine and the bell on the machine at hand; `manage.py bench` prints them."""
