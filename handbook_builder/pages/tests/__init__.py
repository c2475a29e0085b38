"""Test candles: each cycle of each, and one beside another."""
