"""What is still to be burned, and what that takes: ladders, proofs, what a change brings down."""
