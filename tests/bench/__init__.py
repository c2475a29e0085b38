"""Tests of the room in which records are written and added to."""
