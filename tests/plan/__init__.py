"""Plans: ladders, proofs, calendars, changes."""
