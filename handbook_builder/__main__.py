"""Lets `python -m handbook_builder` do what `handbook` does."""

from handbook_builder.cli import main

main()
