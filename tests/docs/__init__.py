"""Tests that what is there is written down."""
