"""Batches, lots and incidents: from the bill to whoever has the candle."""
