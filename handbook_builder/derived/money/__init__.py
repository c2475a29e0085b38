"""Money: what things cost, what candles cost, and what may be asked for them."""
