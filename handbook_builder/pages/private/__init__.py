"""What the floor edition withholds."""
