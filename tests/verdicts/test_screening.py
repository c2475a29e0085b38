"""A vessel before any recipe: cleared, ask first, or refused, and why."""

from datetime import date

import pytest

from handbook_builder.verdicts.screening import Screened
from tests.records_in_text import BASE, DAY, STUDIO, VESSEL
from tests.verdicts.told import codes, judged, told

GENERAL = "---\nkind: general\n---\n"
NO_EVIDENCE = VESSEL.partition("heat_evidence")[0]


def screened(vessel: str, protocol: str = "", day: date = DAY) -> Screened:
    """Return the screening of the vessel written as `vessel`."""
    files = {**BASE, "vessels/tumbler.md": vessel, "suppliers/hardware.md": GENERAL}
    if protocol:
        files["studio.md"] = STUDIO.replace("default", "house")
        files["protocols/house.md"] = f"---\n{protocol}---\n"
    return judged(files, day).vessels["tumbler"]


def with_key(line: str) -> str:
    """Return the vessel that is cleared, with one more line."""
    return VESSEL.replace("use: product\n", f"use: product\n{line}\n")


def with_evidence(*entries: str) -> str:
    """Return the vessel with this heat evidence in the place of its own."""
    lines = "".join(f"  - {{{one}}}\n" for one in entries)
    return f"{NO_EVIDENCE}heat_evidence:\n{lines}---\n"


def test_sold_for_candles_by_a_candle_supplier() -> None:
    """The easy case is cleared, and the evidence that cleared it is kept."""
    found = screened(VESSEL)
    assert found.screening == "cleared"
    assert found.reasons == ()
    assert [one.by for one in found.cleared_by] == ["jar-house"]


def test_sold_for_candles_by_somebody_else() -> None:
    """A supplier who is no candle supplier cannot say so."""
    found = screened(with_evidence("kind: sold_for_candles, on: 2026-01-05, by: hardware"))
    assert found.screening == "ask_first"
    assert told(found.reasons) == [("not_a_candle_supplier", 7, {"by": "hardware"})]


def test_a_suppliers_name_alone() -> None:
    """Bought from a candle supplier, but nothing written down: ask."""
    found = screened(NO_EVIDENCE + "---\n")
    assert found.screening == "ask_first"
    assert told(found.reasons) == [("no_heat_evidence", 2, {})]


def test_evidence_dated_later() -> None:
    """As of a day before, the evidence does not exist."""
    assert screened(VESSEL, day=date(2026, 1, 4)).screening == "ask_first"
    assert codes(screened(VESSEL, day=date(2026, 1, 4)).reasons) == ["no_heat_evidence"]
    assert screened(VESSEL, day=date(2026, 1, 5)).screening == "cleared"


def test_the_makers_word() -> None:
    """With a date and a person it clears; a maker who says no refuses."""
    word = "kind: makers_word, on: 2026-01-05, by: a person at the pottery"
    assert screened(with_evidence(word)).screening == "cleared"
    assert screened(with_evidence(word + ", result: passed")).screening == "cleared"
    refused = screened(with_evidence(word + ", result: failed"))
    assert refused.cleared_by == ()
    assert refused.screening == "refused"
    assert told(refused.against) == [
        (
            "heat_failed",
            8,
            {"kind": "makers_word", "by": "a person at the pottery", "on": date(2026, 1, 5)},
        )
    ]


SHOCK = "kind: thermal_shock_test, on: 2026-01-05, by: the maker"


@pytest.mark.parametrize(
    ("more", "word"),
    [
        (", difference: delta 50 degC, result: passed", "cleared"),
        (", difference: delta 90 degF, result: passed", "cleared"),
        (", difference: delta 49.9 degC, result: passed", "ask_first"),
        (", result: passed", "ask_first"),
        (", difference: delta 60 degC", "ask_first"),
    ],
)
def test_a_thermal_shock_test(more: str, word: str) -> None:
    """It clears only when it passed at the protocol's difference."""
    found = screened(with_evidence(SHOCK + more))
    assert found.screening == word
    assert codes(found.reasons) == ([] if word == "cleared" else ["shock_too_small"])


def test_a_shock_test_that_was_too_gentle() -> None:
    """The numbers are told: what was shown, and what the protocol asks for."""
    found = screened(with_evidence(SHOCK + ", difference: delta 40 degC, result: passed"))
    details = {"shock_k": 40.0, "needed_k": 50.0, "result": "passed"}
    assert told(found.unknown) == [("shock_too_small", 7, details)]


def test_a_shock_test_that_failed() -> None:
    """A vessel that cracked is refused, and nothing else need be asked."""
    found = screened(with_evidence(SHOCK + ", difference: delta 60 degC, result: failed"))
    assert found.screening == "refused"
    assert codes(found.reasons) == ["heat_failed"]
    that_day = screened(with_evidence(SHOCK + ", result: failed"), day=date(2026, 1, 5))
    assert codes(that_day.reasons) == ["heat_failed"]
    early = screened(with_evidence(SHOCK + ", result: failed"), day=date(2026, 1, 4))
    assert codes(early.reasons) == ["no_heat_evidence"]


def test_a_failure_beside_a_good_word() -> None:
    """One thing that speaks against it outweighs what speaks for it."""
    both = with_evidence(SHOCK + ", result: failed", "kind: makers_word, on: 2026-02-01, by: x")
    found = screened(both)
    assert found.screening == "refused"
    assert [one.kind for one in found.cleared_by] == ["makers_word"]


@pytest.mark.parametrize("material", ["wood", "plastic", "shell"])
def test_what_burns_or_melts(material: str) -> None:
    """It is refused whatever anyone says of it."""
    moved = VESSEL.replace("material: glass\n", "").replace(
        "use: product\n", f"use: product\nmaterial: {material}\n"
    )
    found = screened(moved)
    assert found.screening == "refused"
    assert told(found.reasons) == [("burns_or_melts", 4, {"material": material})]


@pytest.mark.parametrize("material", ["ceramic", "concrete", "metal", "stone", "other"])
def test_what_does_not_burn(material: str) -> None:
    """The other materials stand or fall with their evidence."""
    assert screened(VESSEL.replace("glass", material)).screening == "cleared"


def test_drinkware() -> None:
    """It is thin until its wall is measured and the protocol says what is thick enough."""
    cup = with_key("drinkware: yes")
    assert told(screened(cup).reasons) == [("drinkware", 5, {})]
    assert screened(cup).screening == "refused"
    thick = with_key("drinkware: yes\nwall: 4 mm")
    assert codes(screened(thick).reasons) == ["drinkware"]
    assert codes(screened(cup, "min_wall: 3 mm\n").reasons) == ["drinkware"]
    assert screened(thick, "min_wall: 3 mm\n").screening == "cleared"
    assert screened(with_key("drinkware: no")).screening == "cleared"


def test_a_thin_wall() -> None:
    """The wall is held against the protocol's least, when both are known."""
    assert screened(with_key("wall: 3 mm"), "min_wall: 3 mm\n").screening == "cleared"
    thin = screened(with_key("wall: 2.9 mm"), "min_wall: 3 mm\n")
    assert thin.screening == "refused"
    assert told(thin.reasons) == [("wall_too_thin", 5, {"wall_mm": 2.9, "least_mm": 3.0})]
    assert screened(VESSEL, "min_wall: 3 mm\n").screening == "cleared"
    thin_cup = screened(with_key("drinkware: yes\nwall: 2 mm"), "min_wall: 3 mm\n")
    assert codes(thin_cup.reasons) == ["wall_too_thin"]


def test_a_porous_body() -> None:
    """It must be sealed, and have stood dry."""
    dry = "leak_test: {on: 2026-01-05, hours: 24 h, result: dry}"
    assert screened(with_key(f"porous: yes\nsealed: yes\n{dry}")).screening == "cleared"
    unknown = screened(with_key("porous: yes"))
    assert unknown.screening == "ask_first"
    assert told(unknown.reasons) == [("seal_unknown", 5, {}), ("leak_untested", 5, {})]
    unsealed = screened(with_key(f"porous: yes\nsealed: no\n{dry}"))
    assert unsealed.screening == "refused"
    assert told(unsealed.reasons) == [("not_sealed", 6, {})]
    assert codes(screened(with_key("porous: yes\nsealed: yes")).reasons) == ["leak_untested"]
    assert screened(with_key("sealed: no")).screening == "cleared"


def test_a_leak() -> None:
    """A wet test refuses, from its day on, porous or not."""
    wet = with_key("leak_test: {on: 2026-02-01, hours: 24 h, result: wet}")
    assert told(screened(wet).reasons) == [("leaked", 5, {"on": date(2026, 2, 1)})]
    assert screened(wet).screening == "refused"
    assert screened(wet, day=date(2026, 1, 31)).screening == "cleared"
    assert screened(wet, day=date(2026, 2, 1)).screening == "refused"


def test_a_leak_test_dated_later() -> None:
    """A porous vessel whose leak test is still to come is not yet known to be tight."""
    later = "porous: yes\nsealed: yes\nleak_test: {on: 2026-02-01, hours: 24 h, result: dry}"
    assert codes(screened(with_key(later), day=date(2026, 1, 31)).reasons) == ["leak_untested"]
    assert screened(with_key(later), day=date(2026, 2, 1)).screening == "cleared"


def test_a_narrow_mouth() -> None:
    """The opening is at least 80 % of the inside (common practice, no published source)."""
    assert screened(with_key("opening: 57.6 mm")).screening == "cleared"
    narrow = screened(with_key("opening: 57.5 mm"))
    assert narrow.screening == "refused"
    details = {"opening_mm": 57.5, "least_mm": pytest.approx(57.6)}
    assert told(narrow.reasons) == [("narrow_mouth", 5, details)]
    assert screened(with_key("opening: 50 mm"), "min_opening: 60 %\n").screening == "cleared"


def test_everything_that_speaks_against_it_is_told() -> None:
    """The first fault does not hide the next, nor what is unknown."""
    bad = NO_EVIDENCE.replace("glass", "wood").replace(
        "use: product", "use: product\nopening: 10 mm\nporous: yes"
    )
    assert codes(screened(bad + "---\n").reasons) == [
        "burns_or_melts", "narrow_mouth", "seal_unknown", "leak_untested", "no_heat_evidence",
    ]  # fmt: skip
