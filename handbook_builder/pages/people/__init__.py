"""Who helps, and what must be minded."""
