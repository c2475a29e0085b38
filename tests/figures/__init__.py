"""Tests of what is computed."""
