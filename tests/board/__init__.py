"""The test board, its calendar, and comparisons."""
