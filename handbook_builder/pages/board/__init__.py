"""The test board: what is to be done today, and what may be approved when."""
