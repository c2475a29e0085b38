"""Plans: what to light, what to pour, and by when."""
