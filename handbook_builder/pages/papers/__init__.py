"""What goes with a candle on paper: care card, product sheet, proof, recall notice."""
