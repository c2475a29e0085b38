"""What all tests share: the flag that writes golden files anew, and a cache of their own."""

import os
import shutil
import tempfile

import pytest

_CACHE = "XDG_CACHE_HOME"
_made: list[str] = []


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add --update-golden, which writes what the program says now into the golden cases."""
    parser.addoption("--update-golden", action="store_true", help="write golden cases anew")


def pytest_configure(config: pytest.Config) -> None:
    """Let the program, and every process that a test starts, keep its cache in a folder of the run.

    Workers inherit the folder of the run that started them.
    """
    if not hasattr(config, "workerinput"):
        _made.append(tempfile.mkdtemp(prefix="handbook-tests-"))
        os.environ[_CACHE] = _made[-1]


def pytest_unconfigure() -> None:
    """Remove the folder with all that is in it."""
    while _made:
        shutil.rmtree(_made.pop(), ignore_errors=True)
