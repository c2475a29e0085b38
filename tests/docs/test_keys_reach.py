"""No key of a record is read, checked and dropped: each reaches a page, the JSON or a verdict."""

import ast
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from inspect import getmembers, isclass
from pathlib import Path

import pytest

from handbook_builder.reading.kinds import asked, components, house, items, making, readings, trade
from handbook_builder.reading.shape import keys_of

ROOT = Path(__file__).parents[2]
PACKAGE, VIEWS = ROOT / "handbook_builder", ROOT / "site_templates" / "views"
# Rooms in which a value is judged, reckoned with or told; reading and linking alone use nothing.
ROOMS = ("figures", "verdicts", "derived", "faults", "pages", "reports", "publish", "cli")
# Whoever names a key here says where it is used by a name of its own.
ELSEWHERE = {
    "_WrittenLimit": "becomes a Limit, whose fields are asked for themselves",
    "ProtocolRecord": "becomes the Protocol in force, key by key (tests/told/test_limits_page.py)",
}
# Asked for by the name of a property of its shape.
ASKED_AS = {"as_": "is_misuse"}


def shapes() -> Iterator[type]:
    """Yield every shape of every kind, those within shapes too."""
    for module in (asked, components, house, items, making, readings, trade):
        for _, cls in getmembers(module, isclass):
            if cls.__module__ == module.__name__ and is_dataclass(cls) and keys_of(cls):
                yield cls


def _used() -> frozenset[str]:
    """Return the name of every attribute that the rooms or the views ask of anything."""
    names: set[str] = set()
    for room in ROOMS:
        for file in (PACKAGE / room).rglob("*.py"):
            names |= set(_asked(ast.parse(file.read_text("utf-8"))))
    for view in VIEWS.glob("*.html"):
        names |= set(re.findall(r"\.([a-z_]+)", view.read_text("utf-8")))
    return frozenset(names)


def _asked(tree: ast.AST) -> Iterator[str]:
    """Yield the attributes that a module asks for, by a dot or by `getattr` with their name."""
    for one in ast.walk(tree):
        if isinstance(one, ast.Attribute):
            yield one.attr
        elif isinstance(one, ast.Call) and getattr(one.func, "id", "") == "getattr":
            yield from (each.value for each in one.args if isinstance(each, ast.Constant))


# A reading that has a column or a comparison is shown by the table (tests/pages/test_columns.py).
USED = _used() | {one.field for one in readings.TABLE if one.is_shown or one.is_compared}
SHAPES = [one for one in shapes() if one.__name__ not in ELSEWHERE]


def test_the_shapes_are_found() -> None:
    """Those of records and those within them; and no exception is left over."""
    names = {one.__name__ for one in shapes()}
    assert {"Vessel", "Fill", "Cycle", "Component", "ReadGuide", "Given", "Supplier"} <= names
    assert set(ELSEWHERE) <= names


@pytest.mark.parametrize("cls", SHAPES, ids=lambda one: one.__name__)
def test_every_key_is_used(cls: type) -> None:
    """By the name of its attribute, somewhere outside reading and linking."""
    known = {key.field for key in keys_of(cls).values()}
    assert known <= {one.name for one in fields(cls)}
    asked = {ASKED_AS.get(one, one) for one in known}
    assert sorted(asked - USED) == []
