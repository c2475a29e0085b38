"""A candle studio's records, turned into a handbook that lists only what was proven."""

__version__ = "0.1.0"
