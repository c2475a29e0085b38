"""The hazard classes of a finished candle, worked out a second time without the package."""
