"""A session on A4: a sheet for the session, a card for every station, a register to tick, an emergency sheet."""
