"""Functions and modules stay short, so that each can be read at once."""

import ast
from pathlib import Path
from statistics import median, quantiles
from typing import Final

PACKAGE: Final = Path(__file__).parents[2] / "handbook_builder"
# The project's own aims: as short as the code that it learns from, or shorter.
MEDIAN, NINTH_TENTH, LONGEST, LONGEST_MODULE = 7, 16, 40, 350


def _lengths() -> dict[str, int]:
    """Return how many lines each function has, its head and its docstring too."""
    return {
        f"{file.relative_to(PACKAGE)}:{node.lineno} {node.name}": (node.end_lineno or 0)
        - node.lineno
        + 1
        for file in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef)
    }


def test_functions_are_short() -> None:
    """Half of them seven lines at most, nine in ten sixteen, and none above forty."""
    lengths = _lengths()
    assert len(lengths) > 1000
    assert median(lengths.values()) <= MEDIAN
    assert quantiles(lengths.values(), n=10)[-1] <= NINTH_TENTH
    assert [name for name, lines in lengths.items() if lines > LONGEST] == []


def test_modules_are_short() -> None:
    """A module is one subject; beyond this many lines it is two."""
    files = PACKAGE.rglob("*.py")
    lengths = {str(file): len(file.read_text("utf-8").splitlines()) for file in files}
    assert [name for name, lines in lengths.items() if lines > LONGEST_MODULE] == []
