"""Tests of the hazard rules of a finished candle."""
