"""The table of readings: the shape of a cycle, the protocol and the words agree with it."""

from typing import Any

import pytest
import yaml

from handbook_builder.reading.fields import Report
from handbook_builder.reading.kinds.house import ONCE
from handbook_builder.reading.kinds.readings import (
    MEASURES,
    READ_AS,
    READINGS,
    TABLE,
    Cycle,
    Due,
    Reading,
    Unit,
)
from handbook_builder.reading.nodes import Map, compose
from handbook_builder.reading.shape import keys_of
from handbook_builder.shipped import templates_folder
from handbook_builder.studio.protocol import shipped

PHRASES: dict[str, Any] = yaml.safe_load((templates_folder() / "words.yml").read_text("utf-8"))
# What a cycle holds beside its readings.
SPECIAL = ("on", "trimmed", "unread", "seen", "checks", "note", "amended", "former")
# One of each unit in the base unit: exact by definition (the inch 25.4 mm, the ounce
# 28.349523125 g, degF by (x - 32) / 1.8), as NIST Handbook 44, Appendix C, has them.
ONE = {
    "h": 1.0, "g": 1.0, "oz": 28.349523125, "mm": 1.0, "in": 25.4, "degC": 1.0,
    "degF": -31 / 1.8, "s": 1.0, "%": 0.01,
}  # fmt: skip


def _read(reading: Reading, text: str) -> tuple[object, list[str]]:
    root, problems = compose(f"{reading.key}: {text}", "", 1)
    report = Report("", problems)
    assert isinstance(root, Map)
    found = reading.read(root.entries[0][1], report, reading.key)
    return found, [one.message for one in report.problems]


def test_a_cycle_holds_the_readings_in_the_order_of_the_table() -> None:
    """Each in the field that it names, read as it says; all else of a cycle is named here."""
    keys = keys_of(Cycle)
    assert tuple(one for one in keys if one not in SPECIAL) == tuple(one.key for one in TABLE)
    assert set(SPECIAL) < keys.keys()
    for one in TABLE:
        assert (keys[one.key].field, keys[one.key].read) == (one.field, one.read)


@pytest.mark.parametrize("reading", TABLE, ids=lambda one: one.key)
def test_a_bare_number_is_taken_in_a_unit_of_the_reading(reading: Reading) -> None:
    """In either system, and comes to what the unit is by definition."""
    for unit in (reading.unit.metric, reading.unit.us):
        found, problems = _read(reading, f"1 {unit}")
        assert problems == []
        assert found == pytest.approx(ONE[unit], rel=1e-12)


def test_the_shipped_protocol_asks_for_what_is_due() -> None:
    """What the table calls due in a full cycle, and what a candle shows once."""
    due = {one.key for one in TABLE if one.due is not Due.NOWHERE}
    assert set(shipped().needs or ()) == due | set(ONCE)


def test_every_reading_has_its_words() -> None:
    """Its name, its question with the unit, its help, and what a limit on it is called."""
    assert set(PHRASES["readings"]) == READINGS.keys()
    for one in TABLE:
        words = PHRASES["readings"][one.key]
        assert {"label", "asked"} <= words.keys() <= {"label", "short", "asked", "limit"}
        assert all(words.values())
        assert "{unit}" in words["asked"]
        assert ("limit" in words) is one.is_limited
        assert one.help.endswith(".")


def test_no_two_readings_are_asked_for_at_once() -> None:
    """Each has its own place among the questions."""
    assert len({one.asked for one in TABLE}) == len(TABLE)


def test_whatever_is_limited_is_read_somewhere() -> None:
    """What is reckoned from readings says from which one."""
    assert all(READ_AS.get(one, one) in READINGS for one in MEASURES)
    assert all(isinstance(one, Unit) for one in MEASURES.values())
