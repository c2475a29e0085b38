"""What candles are made of, vessels first."""
