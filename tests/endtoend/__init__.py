"""Tests of the installed program."""
