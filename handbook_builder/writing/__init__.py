"""Adding to a maker's own text in place, and new records."""
