"""What the new rules know, told on pages, in the terminal and as JSON."""
