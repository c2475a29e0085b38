"""One direction of flow: a room imports only from rooms that stand before it."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

PACKAGE: Final = Path(__file__).parents[2] / "handbook_builder"
# As DEVELOPERS.md draws them: each may know those above it, and itself.
ROOMS: Final = (
    "beside", "handover", "once", "problems", "notices", "conversion", "units", "shipped", "files",
    "terminal", "figures",
    "hazards", "labels", "tables", "reading",
    "studio", "verdicts", "words", "faults", "derived", "writing", "bringing", "pages", "reports",
    "workshop",
    "publish", "cli",
)  # fmt: skip
# What is drawn as a single step back, with its reason.
KNOWN_STEPS_BACK: Final = {
    # The guides that helpers read are found where templates are looked for, and read nowhere else.
    ("workshop", "publish"): {"handbook_builder.publish.templates"},
}


def _imported(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{one.name}" for one in node.names)
        elif isinstance(node, ast.Import):
            yield from (one.name for one in node.names)


def _room(module: str) -> str | None:
    first, _, rest = module.partition(".")
    return rest.partition(".")[0] if first == "handbook_builder" and rest else None


def _steps_back() -> Iterator[str]:
    for file in sorted(PACKAGE.rglob("*.py")):
        within = file.relative_to(PACKAGE)
        here = within.parts[0].removesuffix(".py")
        if here not in ROOMS:
            continue  # the package's own doors: __init__ and __main__
        for module in _imported(file):
            there = _room(module)
            known = KNOWN_STEPS_BACK.get((here, there or ""), set())
            is_known = any(module.startswith(one) for one in known) or module in {
                one.rpartition(".")[0] for one in known
            }
            if there in ROOMS and ROOMS.index(there) > ROOMS.index(here) and not is_known:
                yield f"{within}: {module}"


def test_no_room_knows_one_behind_it() -> None:
    """A rule never imports what shows it, and a reader never what it means."""
    assert list(_steps_back()) == []


def test_every_room_is_drawn() -> None:
    """A folder or module that nobody drew has no place in the order."""
    found = {one.name.removesuffix(".py") for one in PACKAGE.iterdir() if one.suffix in {"", ".py"}}
    rooms = {one for one in found if not one.startswith("__")} - {"protocols", "site_templates"}
    assert rooms == set(ROOMS)


@pytest.mark.parametrize("name", ROOMS)
def test_every_room_is_told_of(name: str) -> None:
    """DEVELOPERS.md says what each of them is for."""
    assert f"`{name}`" in (PACKAGE.parent / "DEVELOPERS.md").read_text("utf-8")
