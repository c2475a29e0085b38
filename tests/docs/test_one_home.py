"""JSON is made in one room, and by one function."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).parents[2] / "handbook_builder"
# Whoever else writes JSON, and why it is not told to another program.
OTHERS: Final = {
    "publish/search.py": "the search's own index, read by a script of the site",
    "verdicts/combination.py": "the canonical text that a code is made of",
    "writing/values.py": "a text in YAML's double quotes, which take all that JSON's do",
}


def _writers() -> Iterator[str]:
    """Yield each module that asks for a function of `json` that writes."""
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            asked = isinstance(node, ast.Attribute) and node.attr in {"dump", "dumps"}
            named = isinstance(node, ast.ImportFrom) and node.module == "json"
            if asked or named:
                yield file.relative_to(PACKAGE).as_posix()


def test_json_is_written_in_one_place() -> None:
    """A report that wrote its own would drift from the others."""
    assert sorted(_writers()) == sorted({"reports/plain.py", *OTHERS})
