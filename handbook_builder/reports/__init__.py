"""What is told to other programs: every figure as plain data, under names that stay."""
