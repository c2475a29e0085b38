"""The label of a product: what keeps it from one, what it says, where it stands, and its PDF."""
