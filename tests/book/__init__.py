"""The printed book."""
