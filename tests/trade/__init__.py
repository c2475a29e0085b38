"""What was poured, from which lots, and who has it: faults, tracing, recall."""
