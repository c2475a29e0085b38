"""What all tests share: the flag that writes golden files anew."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add --update-golden, which writes what the program says now into the golden cases."""
    parser.addoption("--update-golden", action="store_true", help="write golden cases anew")
