"""Many phones on one session through a bad network, while the server is killed again and again."""
