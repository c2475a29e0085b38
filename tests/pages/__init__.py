"""What the pages say, and how the views show it."""
