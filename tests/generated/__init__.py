"""Whole studios of any size, drawn from a seed: believable, and without a fault.

`python -m tests.generated ten-years FOLDER` writes one. All names, people and readings are made up.
"""
