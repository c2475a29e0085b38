"""Money: every figure of the demo by hand, the prices that are asked, and the two editions."""
