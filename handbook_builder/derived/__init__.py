"""The studio's own records put into the formulas: fills, burns and money, a subject a module."""
