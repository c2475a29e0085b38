"""JSON is made in one room, and by one function."""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

PACKAGE: Final = Path(__file__).parents[2] / "handbook_builder"
# Whoever else writes JSON, and why it is not told to another program.
OTHERS: Final = {
    "derived/handover.py": "the canonical text that the state of a record is made of",
    "publish/search_file.py": "the search's own index, read by a script of the site",
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


def _reasons() -> Iterator[tuple[str, str]]:
    """Yield the code of each reason that is made in the source, with its module."""
    for file in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            code = node.args[0] if node.func.id == "Reason" and node.args else None
            if isinstance(code, ast.Constant):
                yield str(code.value), file.relative_to(PACKAGE).as_posix()


def test_each_reason_is_made_in_one_place() -> None:
    """Made twice, it would bear other details in one place than in the other one day."""
    made = Counter(code for code, _ in _reasons())
    assert len(made) > 50
    assert [code for code, times in made.items() if times > 1] == []


def test_no_fault_is_worded_by_who_finds_it() -> None:
    """A fault of the records that carries reasons is worded where it is printed."""
    worded = {
        file.name
        for file in (PACKAGE / "faults").glob("*.py")
        if "handbook_builder.words" in file.read_text("utf-8")
    }
    assert worded == {"told.py"}
