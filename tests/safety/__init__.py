"""What must hold of any set of records."""
