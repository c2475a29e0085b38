"""Files that are handed over: what they are made against, how they are read and taken."""
