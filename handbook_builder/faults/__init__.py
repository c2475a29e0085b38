"""Records that contradict a verdict, or one another: faults that no reading of one file shows."""
