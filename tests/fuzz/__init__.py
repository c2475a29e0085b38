"""Records changed line by line and byte by byte: no trace, no hang, no approval out of nothing."""
