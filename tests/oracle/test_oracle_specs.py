"""Hand-worked cases that pin the oracle on specifications: of a day, and named by a candle."""

from datetime import date
from typing import TYPE_CHECKING

import pytest

from .cases import LATER, STUDIO, added, burn_a, cedar, edited
from .match import spec_on

if TYPE_CHECKING:
    from .read import Record

TWICE = "spec: 3\nspec_since: [2026-02-01, 2026-04-01]"


def test_one_day_or_many() -> None:
    """The specification of a day is one more than the days of change up to it."""
    item: Record = {"spec": "3", "spec_since": ["2026-02-01", "2026-04-01"]}
    days = ["2026-01-31", "2026-02-01", "2026-03-31", "2026-04-01"]
    assert [spec_on(item, date.fromisoformat(day)) for day in days] == [1, 2, 2, 3]
    once: Record = {"spec": "2", "spec_since": "2026-02-01"}
    assert [spec_on(once, date.fromisoformat(day)) for day in days] == [1, 2, 2, 2]
    assert spec_on({}, LATER) == 1


def test_a_raised_item_loses_its_evidence_again() -> None:
    """A candle of the second make speaks for it, and no more once there is a third."""
    files = added("waxes/soy.md", TWICE)
    for letter in "abc":
        said = ("candles: 3", "candles: 3, spec: {waxes/soy: 2}")
        files = edited(f"burns/{letter}.md", said, files=files)
    assert cedar(files, date(2026, 3, 31))["status"] == "approved"
    assert cedar(files, date(2026, 4, 1))["status"] == "untested"


@pytest.mark.parametrize("entry", ["2026-03-31", "2026-04-01"])
def test_papers_of_a_third_make(entry: str) -> None:
    """A paper of the second make does not count for the third."""
    files = added("fragrances/oil.md", TWICE)
    files = edited("fragrances/oil.md", ("2026-01-03", entry), files=files)
    missing = {"certificate_missing"} if entry == "2026-03-31" else set()
    assert cedar(files)["missing"] & {"certificate_missing"} == missing
    # of the day of the second make it is, and one of the first is not
    second = cedar(files, date(2026, 3, 31))["missing"]
    assert {"certificate_missing", "safety_sheet_missing"} - second == (
        {"certificate_missing"} if entry == "2026-03-31" else set()
    )


NAMES: list[tuple[str, str, list[str]]] = [
    ("2026-03-02", "", []),  # poured before the new make
    ("2026-03-01", "", ["spec_unsaid"]),
    ("2026-03-01", ", spec: {waxes/soy: 2}", []),
    ("2026-03-01", ", spec: {waxes/soy: 1}", []),
    ("2026-03-01", ", spec: {wicks/c8: 1}", ["spec_unsaid"]),
]


@pytest.mark.parametrize(("since", "said", "gaps"), NAMES)
def test_a_candle_of_a_raised_item_names_it(since: str, said: str, gaps: list[str]) -> None:
    """From the day of a new make on a candle must say of which make it is."""
    files = added("waxes/soy.md", f"spec: 2\nspec_since: {since}")
    files = edited("burns/a.md", ("candles: 3", f"candles: 3{said}"), files=files)
    assert burn_a(files)["gaps"] == gaps
    assert cedar(files)["whys"] == set()  # a gap, and no doubt
    assert burn_a(added("burns/a.md", "as: misuse\nhow: draught", files))["gaps"] == []


def test_each_item_is_asked_once() -> None:
    """Vessel, wick, wax, oil and colorant: each that is raised and unnamed is a gap of its own."""
    files = edited("burns/a.md", ("colorant: none", "colorant: {dye: 1 g}"))
    for path in ("vessels/jar", "wicks/c8", "waxes/soy", "fragrances/oil", "colorants/dye"):
        files = added(f"{path}.md", "spec: 2\nspec_since: 2026-01-01", files)
    assert burn_a(files)["gaps"] == ["spec_unsaid"] * 5
    files = added("waxes/coco.md", "spec: 2\nspec_since: 2026-01-01", files)
    assert burn_a(files)["gaps"] == ["spec_unsaid"] * 5  # it is no item of this candle
    named = ("candles: 3", "candles: 3, spec: {vessels/jar: 2, colorants/dye: 1}")
    assert burn_a(edited("burns/a.md", named, files=files))["gaps"] == ["spec_unsaid"] * 3


REACHES = [
    # said, when the make changed, as-of day: does a failure, does a pass count
    ("{waxes/soy: 1}", "2026-03-01", LATER, True, False),
    ("{waxes/soy: 2}", "2026-03-01", LATER, True, True),
    ("{waxes/soy: 2}", "2026-04-01", LATER, True, True),
    ("{waxes/soy: 2}", "2026-04-01", date(2026, 3, 31), True, False),
    ("{waxes/soy: 1}", "2026-04-01", LATER, False, False),
]


@pytest.mark.parametrize(("said", "since", "day", "bad", "good"), REACHES)
def test_a_failure_counts_by_what_is_said_and_by_the_date(
    said: str, since: str, day: date, *, bad: bool, good: bool
) -> None:
    """A failed candle cannot be written away to another make; a passed one is what it says."""
    files = added("waxes/soy.md", f"spec: 2\nspec_since: {since}")
    files = edited("burns/a.md", ("candles: 3", f"candles: 3, spec: {said}"), files=files)
    assert ("a" in cedar(files, day)["passed"]) == good
    failing = edited("burns/a.md", ("flame: 31 mm", "flame: 99 mm"), files=files)
    assert ("a" in cedar(failing, day)["failed"]) == bad


def test_what_is_said_of_one_item_is_not_mixed_with_the_date_of_another() -> None:
    """All that is said, or all that the date gives: a failure counts where either matches."""
    files = added("waxes/soy.md", "spec: 2\nspec_since: 2026-03-01")
    files = added("wicks/c8.md", "spec: 2\nspec_since: 2026-04-01", files)
    said = ("candles: 3", "candles: 3, spec: {waxes/soy: 1, wicks/c8: 2}")
    failing = edited("burns/a.md", said, ("flame: 31 mm", "flame: 99 mm"), files=files)
    # said: wax 1, wick 2; by the date: wax 2, wick 1; today: wax 2, wick 2
    assert cedar(failing)["failed"] == []
    assert cedar(failing, date(2026, 3, 31))["failed"] == ["a"]


def test_the_studio_names_nothing() -> None:
    """The studio that these cases change holds no raised item."""
    assert not any("spec" in text for text in STUDIO.values())
