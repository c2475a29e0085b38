"""Tests of the handbook builder."""
