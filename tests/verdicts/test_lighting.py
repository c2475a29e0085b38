"""When a test candle may be lit; the days and hours are counted by hand beside each case."""

from collections.abc import Mapping
from datetime import date, time

import pytest

from handbook_builder.reading.fields import When
from handbook_builder.verdicts.lighting import (
    cure_days,
    cured_on,
    forbidden,
    lit_from,
    spoiled,
)
from tests.records_in_text import BASE, DAY, VESSEL, WAX, burn, linked, whole_life
from tests.verdicts.told import codes, judged, told

INCIDENT = """---
number: 1
on: 2026-04-01
about: recipes/fig
what: a flame as long as a finger
---
"""
LIT = (
    "{on: %s, burned: 4 h, before: 400.0 g, after: 374.0 g, pool: 70 mm, flame: 22 mm, "
    "wall: 52 degC}"
)


def _lit(*cycles: str, files: Mapping[str, str] = BASE) -> When:
    found = judged({**files, "burns/fig-a.md": burn(cycles=list(cycles), end="", candles=1)})
    return lit_from(found.studio, found.burns["fig-a"].candle.seen)


@pytest.mark.parametrize(
    ("cure", "days", "cured"),
    [
        ("14 days", 14, date(2026, 3, 15)),
        ("0 days", 0, date(2026, 3, 1)),
        ("36 h", 2, date(2026, 3, 3)),
        ("2 weeks", 14, date(2026, 3, 15)),
    ],
)
def test_cured_on(cure: str, days: int, cured: date) -> None:
    """Poured on 1 March 2026: the first whole day on which the wax has cured for long enough."""
    files = {**BASE, "waxes/soy.md": WAX.replace("14 days", cure)}
    found = judged({**files, "burns/fig-a.md": burn(cycles=[], end="", candles=1)})
    seen = found.burns["fig-a"].candle.seen
    assert cure_days(found.studio, frozenset({"soy"})) == days
    assert cured_on(found.studio, seen) == cured
    assert lit_from(found.studio, seen) == When(cured)


def test_the_slowest_wax_decides() -> None:
    """Of a blend the wax that cures longest sets the day: 21 days."""
    studio = linked({**BASE, "waxes/coco.md": WAX.replace("14 days", "3 weeks")})
    assert cure_days(studio, frozenset({"soy", "coco"})) == 21


def test_without_times_another_day() -> None:
    """Lit on 16 March without a time, so at its end at the latest: 4 h and 1 h of rest later."""
    assert _lit(LIT % "2026-03-16") == When(date(2026, 3, 17), time(5, 0))


def test_with_its_time() -> None:
    """Lit at 9:30 for 4 h, then 1 h of rest: from 14:30 on the same day."""
    assert _lit(LIT % "2026-03-16 09:30") == When(date(2026, 3, 16), time(14, 30))


def test_past_midnight() -> None:
    """Lit at 22:00 for 4 h, then 1 h of rest: from 3:00 on the next day."""
    assert _lit(LIT % "2026-03-16 22:00") == When(date(2026, 3, 17), time(3, 0))


def test_times_are_to_the_minute() -> None:
    """Lit at 9:30 for 1/3 h: 80 min with the rest, without a minute more from float noise.

    With 20 s more the next whole minute counts.
    """
    third = (LIT % "2026-03-16 09:30").replace("burned: 4 h", "burned: 20 min")
    assert _lit(third) == When(date(2026, 3, 16), time(10, 50))
    longer = third.replace("20 min", "20 min 20 s")
    assert _lit(longer) == When(date(2026, 3, 16), time(10, 51))


def test_a_time_without_a_duration() -> None:
    """Lit at 9:30 for nobody knows how long: on another day."""
    cycle = (LIT % "2026-03-16 09:30").replace("burned: 4 h, ", "")
    assert _lit(cycle) == When(date(2026, 3, 17))


def test_the_latest_cycle_decides() -> None:
    """Whatever their order in the file, the candle rests after the cycle that ended last."""
    later, earlier = LIT % "2026-03-18", LIT % "2026-03-16 09:30"
    assert _lit(earlier, later) == _lit(later, earlier) == When(date(2026, 3, 19), time(5, 0))


def test_a_candle_that_just_burns_is_not_spoiled() -> None:
    """No end yet, and no smoke timed yet: neither keeps it from passing later."""
    for cycles, gaps in (([], ["after_smoke_missing", "not_ended"]),
                         (whole_life()[:2], ["not_ended"])):  # fmt: skip
        found = judged({**BASE, "burns/fig-a.md": burn(cycles=cycles, end="", candles=1)})
        burned = found.burns["fig-a"]
        assert codes(burned.candle.gaps) == gaps
        assert spoiled(burned) == ()


def test_a_smoke_that_was_not_timed_spoils() -> None:
    """It is due in every full cycle, while the mean of them can fail."""
    cycles = [whole_life()[0].replace(", after_smoke: 8 s", ""), whole_life()[1]]
    found = judged({**BASE, "burns/fig-a.md": burn(cycles=cycles, end="", candles=1)})
    assert codes(spoiled(found.burns["fig-a"])) == ["reading_missing"]


def test_a_spoiled_candle_says_why() -> None:
    """A cycle without its pool can never be made whole again."""
    cycles = [one.replace("pool: 70 mm, ", "") for one in whole_life()[:1]]
    found = judged({**BASE, "burns/fig-a.md": burn(cycles=cycles, end="", candles=1)})
    assert codes(spoiled(found.burns["fig-a"])) == ["reading_missing"]


def _forbidden(
    files: Mapping[str, str], day: date = DAY
) -> list[tuple[str, int, dict[str, object]]]:
    found = judged({**files, "burns/fig-b.md": burn("B", cycles=[], end="", candles=2)}, day)
    return told(forbidden(found, found.burns["fig-b"]))


ALONE = {**BASE, "burns/fig-a.md": burn(candles=2)}


def test_nothing_forbids_it() -> None:
    """A cleared vessel, no incident, and a sister that passed."""
    assert _forbidden(ALONE) == []


def test_a_vessel_that_is_not_cleared() -> None:
    """Without heat evidence no flame may be lit in it."""
    bare = VESSEL[: VESSEL.index("heat_evidence")] + "---\n"
    assert _forbidden({**ALONE, "vessels/tumbler.md": bare}) == [
        ("vessel_not_cleared", 2, {"vessel": "tumbler", "screening": "ask_first"})
    ]
    narrow = bare.replace("inside_diameter", "opening: 20 mm\ninside_diameter", 1)
    found = judged({**ALONE, "vessels/tumbler.md": narrow}).vessels["tumbler"]
    assert len(found.reasons) > 1
    ((_, line, _),) = _forbidden({**ALONE, "vessels/tumbler.md": narrow})
    assert line == found.reasons[0].place.line != found.reasons[1].place.line


def test_an_open_incident() -> None:
    """While an incident about its product is open it stays unlit; before that day it may."""
    files = {**ALONE, "incidents/incident-1.md": INCIDENT}
    told_of = {
        "number": 1,
        "on": date(2026, 4, 1),
        "about": "recipes/fig",
        "what": "a flame as long as a finger",
    }
    assert _forbidden(files) == [("open_incident", 2, told_of)]
    assert _forbidden(files, date(2026, 3, 31)) == []


def test_a_sister_that_failed() -> None:
    """One failure speaks for the make-up, within twice the tolerances, and for no other.

    108 g net, of which 2 % are 2.16 g: 112 g is between once and twice that, 113 g is beyond.
    """
    tall = [whole_life()[0].replace("flame: 22 mm", "flame: 80 mm")]

    def failed(wax: str, oil: str) -> Mapping[str, str]:
        bad = burn(cycles=tall, end="", candles=2, wax=wax, oil=oil)
        return {**BASE, "burns/fig-a.md": bad}

    expected = [("candle_failed", 15, {"burn": "fig-a", "candle": "A"})]
    assert _forbidden(failed("100.0 g", "8.0 g")) == expected
    assert _forbidden(failed("103.7 g", "8.3 g")) == expected
    assert _forbidden(failed("104.6 g", "8.4 g")) == []
