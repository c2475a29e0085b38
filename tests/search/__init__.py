"""What the search is told, and the file that it becomes."""
