"""Tests of reading records."""
