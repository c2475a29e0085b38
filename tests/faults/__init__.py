"""Faults that only the whole studio shows."""
