"""The label of a product: whether it may have one, what it says, and on which panels it stands."""
