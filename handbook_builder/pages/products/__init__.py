"""Products: which are approved, why or why not, and how they are poured."""
