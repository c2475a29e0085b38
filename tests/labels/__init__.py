"""Tests of a label's layout and of its drawing."""
