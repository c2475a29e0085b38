"""Tables of a maker's own: brought in, and handed out."""
