"""Money, in the owner's edition alone."""
