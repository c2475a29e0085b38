"""Tests of the verdicts."""
