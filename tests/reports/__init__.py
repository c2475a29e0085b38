"""Tests of what is told to other programs."""
