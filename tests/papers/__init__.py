"""What goes with a candle on paper."""
