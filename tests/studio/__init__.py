"""Tests of the linked studio."""
