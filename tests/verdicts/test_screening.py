"""A vessel before any recipe: cleared, ask first, or refused, and why."""

from datetime import date

import pytest

from handbook_builder.verdicts.screening import Screened
from tests.records_in_text import BASE, DAY, STUDIO, VESSEL
from tests.verdicts.told import codes, judged, told

GENERAL = "---\nkind: general\n---\n"
EVIDENCE = "heat_evidence:\n  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house}\n"
NO_EVIDENCE = VESSEL.replace(EVIDENCE, "").removesuffix("---\n")


def screened(vessel: str, protocol: str = "", day: date = DAY) -> Screened:
    """Return the screening of the vessel written as `vessel`."""
    files = {**BASE, "vessels/tumbler.md": vessel, "suppliers/hardware.md": GENERAL}
    if protocol:
        files["studio.md"] = STUDIO.replace("default", "house")
        files["protocols/house.md"] = f"---\n{protocol}---\n"
    return judged(files, day).vessels["tumbler"]


def with_key(lines: str) -> str:
    """Return the vessel that is cleared, with these lines in the place of its own."""
    kept = VESSEL
    for line in lines.splitlines():
        kept = without_key(line.partition(":")[0], kept)
    return kept.replace("use: product\n", f"use: product\n{lines}\n")


def without_key(key: str, vessel: str = VESSEL) -> str:
    """Return the vessel without one of its lines."""
    lines = vessel.splitlines(keepends=True)
    return "".join(line for line in lines if not line.startswith(f"{key}:"))


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
    assert told(found.reasons) == [("not_a_candle_supplier", 10, {"by": "hardware"})]


def test_a_suppliers_name_alone() -> None:
    """Bought from a candle supplier, but nothing written down: ask."""
    found = screened(NO_EVIDENCE + "---\n")
    assert found.screening == "ask_first"
    assert told(found.reasons) == [("no_heat_evidence", 2, {"spec": 1, "on": DAY})]


def test_evidence_dated_later() -> None:
    """As of a day before, the evidence does not exist."""
    assert screened(VESSEL, day=date(2026, 1, 4)).screening == "ask_first"
    assert codes(screened(VESSEL, day=date(2026, 1, 4)).reasons) == ["no_heat_evidence"]
    assert screened(VESSEL, day=date(2026, 1, 5)).screening == "cleared"


def test_the_makers_word() -> None:
    """With a date, a person and a yes it clears; a maker who says no refuses."""
    word = "kind: makers_word, on: 2026-01-05, by: a person at the pottery"
    silent = screened(with_evidence(word))
    assert silent.screening == "ask_first"
    details = {"by": "a person at the pottery", "on": date(2026, 1, 5)}
    assert told(silent.reasons) == [("word_without_answer", 10, details)]
    assert screened(with_evidence(word + ", result: passed")).screening == "cleared"
    refused = screened(with_evidence(word + ", result: failed"))
    assert refused.cleared_by == ()
    assert refused.screening == "refused"
    assert told(refused.against) == [
        (
            "heat_failed",
            11,
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
    assert told(found.unknown) == [("shock_too_small", 10, details)]


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
    both = with_evidence(
        SHOCK + ", result: failed", "kind: makers_word, on: 2026-02-01, by: x, result: passed"
    )
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
    assert screened(thick).screening == "refused"
    known = {"wall_mm": 4.0, "material": "glass"}
    assert told(screened(thick).reasons) == [("drinkware_no_limit", 6, known)]
    unmeasured = screened(cup, "min_wall: 3 mm\n")
    assert codes(unmeasured.against) == ["drinkware"]
    assert codes(unmeasured.unknown) == ["wall_unsaid"]
    other = screened(thick, "min_wall: {ceramic: 3 mm}\n")
    assert codes(other.reasons) == ["drinkware_no_limit"]
    assert screened(thick, "min_wall: 3 mm\n").screening == "cleared"
    assert screened(with_key("drinkware: no")).screening == "cleared"


def test_a_thin_wall() -> None:
    """The wall is held against the protocol's least, when both are known."""
    assert screened(with_key("wall: 3 mm"), "min_wall: 3 mm\n").screening == "cleared"
    thin = screened(with_key("wall: 2.9 mm"), "min_wall: 3 mm\n")
    assert thin.screening == "refused"
    assert told(thin.reasons) == [("wall_too_thin", 5, {"wall_mm": 2.9, "least_mm": 3.0})]
    unsaid = screened(VESSEL, "min_wall: 3 mm\n")
    assert unsaid.screening == "ask_first"
    details = {"vessel": "tumbler", "material": "glass", "least_mm": 3.0}
    assert told(unsaid.reasons) == [("wall_unsaid", 2, details)]
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
    """A wet test refuses, from its day on, and a dry one beside it helps nothing."""
    dry = "{on: 2026-01-05, hours: 24 h, result: dry}"
    wet = with_key(
        "porous: yes\nsealed: yes\n"
        f"leak_test: [{dry}, {{on: 2026-02-01, hours: 24 h, result: wet}}]"
    )
    assert told(screened(wet).reasons) == [("leaked", 7, {"on": date(2026, 2, 1)})]
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
    bad = NO_EVIDENCE.replace("glass", "wood").replace("opening: 70 mm", "opening: 10 mm")
    bad = bad.replace("porous: no", "porous: yes")
    assert codes(screened(bad + "---\n").reasons) == [
        "burns_or_melts", "narrow_mouth", "seal_unknown", "leak_untested", "no_heat_evidence",
    ]  # fmt: skip


# --- What is unsaid is no answer ---


@pytest.mark.parametrize(("key", "code"), [("porous", "porous_unsaid"),
                                            ("drinkware", "drinkware_unsaid")])  # fmt: skip
@pytest.mark.parametrize("material", ["glass", "ceramic", "concrete", "metal", "stone", "other"])
def test_what_a_solid_vessel_does_not_say(key: str, code: str, material: str) -> None:
    """Whether it soaks, and whether it is drinkware, is asked of every solid material."""
    found = screened(without_key(key, VESSEL.replace("glass", material)))
    assert found.screening == "ask_first"
    assert told(found.reasons) == [(code, 2, {"vessel": "tumbler", "material": material})]


@pytest.mark.parametrize("material", ["wood", "plastic", "shell"])
def test_what_burns_is_asked_for_its_opening_alone(material: str) -> None:
    """It is refused whatever it says, and not asked whether it soaks."""
    text = VESSEL.replace("glass", material)
    for key in ("porous", "drinkware", "opening"):
        text = without_key(key, text)
    found = screened(text)
    assert found.screening == "refused"
    assert codes(found.reasons) == ["burns_or_melts", "opening_unsaid"]


def test_an_opening_that_is_unsaid() -> None:
    """Every vessel says how wide its mouth is."""
    found = screened(without_key("opening"))
    assert found.screening == "ask_first"
    details = {"vessel": "tumbler", "material": "glass"}
    assert told(found.reasons) == [("opening_unsaid", 2, details)]


def test_a_least_wall_for_some_materials() -> None:
    """A wall is asked for, and held against its bound, where one for its material is in force."""
    rule = "min_wall: {ceramic: 4 mm, glass: 3 mm}\n"
    clay = VESSEL.replace("glass", "ceramic")
    tin = VESSEL.replace("glass", "metal")
    assert codes(screened(VESSEL, rule).reasons) == ["wall_unsaid"]
    assert codes(screened(clay, rule).reasons) == ["wall_unsaid"]
    assert screened(tin, rule).screening == "cleared"
    assert screened(with_key("wall: 3 mm"), rule).screening == "cleared"
    thin = screened(with_key("wall: 3 mm").replace("glass", "ceramic"), rule)
    assert codes(thin.reasons) == ["wall_too_thin"]
    assert screened(with_key("wall: 1 mm").replace("glass", "metal"), rule).screening == "cleared"


def test_a_porous_body_with_a_wet_and_no_dry_test() -> None:
    """Tested is tested: it leaked, and is not untested besides."""
    wet = "leak_test: {on: 2026-02-01, hours: 24 h, result: wet}"
    assert codes(screened(with_key(f"porous: yes\nsealed: yes\n{wet}")).reasons) == ["leaked"]


# --- Evidence belongs to the make that it was taken of ---


def respecified(text: str, since: str = "2026-04-01", spec: int = 2) -> str:
    """Return a vessel in its second make, sold since a day."""
    return text.replace("---\n", f"---\nspec: {spec}\nspec_since: {since}\n", 1)


def test_the_papers_of_a_former_make_clear_it_no_more() -> None:
    """The supplier spoke of the make that was sold that day."""
    now = respecified(VESSEL)
    found = screened(now)
    assert found.screening == "ask_first"
    details = {"spec": 2, "on": date(2026, 1, 5)}
    assert told(found.reasons) == [("former_evidence", 9, details)]
    assert found.cleared_by == ()
    assert screened(now, day=date(2026, 3, 31)).screening == "cleared"
    assert screened(respecified(VESSEL, "2026-01-05")).screening == "cleared"
    assert screened(respecified(VESSEL, "2026-01-06")).screening == "ask_first"


def test_the_latest_of_the_former_papers_is_told() -> None:
    """And one that is still to come is no former one."""
    entry = "kind: makers_word, by: x, result: passed"
    text = with_evidence(
        f"{entry}, on: 2026-02-01", f"{entry}, on: 2026-01-05", f"{entry}, on: 2026-04-20"
    )
    found = screened(respecified(text), day=date(2026, 4, 19))
    assert told(found.reasons) == [("former_evidence", 12, {"spec": 2, "on": date(2026, 2, 1)})]
    assert screened(respecified(text), day=date(2026, 4, 20)).screening == "cleared"


def test_an_entry_may_say_which_make_it_speaks_of() -> None:
    """A maker may write of the new make before it is delivered, and of the former one after."""
    early = "kind: makers_word, on: 2026-03-01, by: x, result: passed"
    ahead = respecified(with_evidence(f"{early}, spec: 2"))
    assert screened(ahead).screening == "cleared"
    assert codes(screened(ahead, day=date(2026, 3, 31)).reasons) == ["former_evidence"]
    late = early.replace("2026-03-01", "2026-04-20")
    behind = respecified(with_evidence(f"{late}, spec: 1"))
    assert codes(screened(behind).reasons) == ["former_evidence"]
    assert codes(screened(behind, day=date(2026, 4, 20)).reasons) == ["former_evidence"]
    assert codes(screened(behind, day=date(2026, 4, 19)).reasons) == ["no_heat_evidence"]


def test_a_failure_of_a_former_make_speaks_of_that_alone() -> None:
    """For ill as for good: the make that cracked is sold no more."""
    cracked = "kind: thermal_shock_test, on: 2026-02-01, by: x, result: failed"
    good = "kind: makers_word, on: 2026-04-02, by: x, result: passed"
    text = respecified(with_evidence(cracked, good))
    assert screened(text).screening == "cleared"
    assert screened(text, day=date(2026, 3, 31)).screening == "refused"
    assert screened(respecified(with_evidence(f"{cracked}, spec: 2", good))).screening == "refused"


def test_a_leak_test_of_a_former_make() -> None:
    """A new glaze has stood no water yet; nor did the old one's leak speak of it."""
    base = "porous: yes\nsealed: yes\nleak_test: {on: 2026-02-01, hours: 24 h, result: %s}"
    good = "heat_evidence:\n  - {kind: makers_word, on: 2026-04-02, by: x, result: passed}\n"
    text = with_key(base % "dry").replace(EVIDENCE, good)
    assert codes(screened(respecified(text)).reasons) == ["leak_untested"]
    wet = with_key(base % "wet").replace(EVIDENCE, good)
    assert codes(screened(respecified(wet)).reasons) == ["leak_untested"]
    named = respecified(text.replace("result: dry", "result: dry, spec: 2"))
    assert screened(named).screening == "cleared"
    two = "[{on: 2026-02-01, hours: 24 h, result: wet}, {on: 2026-04-03, hours: 24 h, result: dry}]"
    mended = text.replace("{on: 2026-02-01, hours: 24 h, result: dry}", two)
    assert screened(respecified(mended)).screening == "cleared"


# Mutants of screening.py that are left name another key where a place is asked for that no key has:
# both lead to the record's first line.


WORD = "kind: makers_word, on: 2026-02-01, by: x"
TRIED = "kind: thermal_shock_test, on: 2026-02-02, by: y"
SOLD = "kind: sold_for_candles, on: 2026-01-05, by: jar-house"


@pytest.mark.parametrize(
    ("entry", "reason"),
    [
        (WORD, ("word_without_answer", 10, {"by": "x", "on": date(2026, 2, 1)})),
        (TRIED, ("shock_too_small", 10, {"shock": None, "needed_k": 50.0, "result": None})),
        (
            f"{TRIED}, difference: delta 60 degC",
            ("shock_too_small", 10, {"shock_k": 60.0, "needed_k": 50.0, "result": None}),
        ),
    ],
)
def test_a_deleted_answer_is_asked_for_though_other_evidence_clears(
    entry: str, reason: tuple[str, int, dict[str, object]]
) -> None:
    """It may have been a no."""
    for entries in ((SOLD, entry), (entry, SOLD)):
        found = screened(with_evidence(*entries))
        assert found.screening == "ask_first"
        assert told(found.reasons) == [reason]
        assert [one.kind for one in found.cleared_by] == ["sold_for_candles"]
    assert screened(with_evidence(SOLD, entry), day=date(2026, 1, 31)).screening == "cleared"


@pytest.mark.parametrize(
    "entry",
    [
        f"{TRIED}, difference: delta 10 degC, result: passed",
        f"{TRIED}, result: passed",
        f"{WORD}, result: passed",
        "kind: sold_for_candles, on: 2026-01-05, by: hardware",
    ],
)
def test_what_is_answered_and_does_not_count_is_outweighed(entry: str) -> None:
    """Too small a test, and a word of a supplier for anything, are told when nothing clears."""
    assert screened(with_evidence(SOLD, entry)).reasons == ()
    assert screened(with_evidence(SOLD, entry)).screening == "cleared"


def test_every_answer_that_is_missing_is_told() -> None:
    """Beside that nothing clears."""
    found = screened(
        with_evidence(WORD, TRIED, "kind: sold_for_candles, on: 2026-01-05, by: hardware")
    )
    assert codes(found.reasons) == [
        "word_without_answer", "shock_too_small", "not_a_candle_supplier",
    ]  # fmt: skip


def test_a_missing_answer_about_a_former_make_is_not_asked_for() -> None:
    """It speaks of that one only."""
    vessel = respecified(with_evidence(f"{SOLD}, spec: 2", WORD))
    assert screened(vessel).screening == "cleared"
