"""Hand-worked cases that pin the oracle on the screening of vessels and on papers."""

from datetime import date

import pytest

from .cases import LATER, STUDIO, Edit, added, cedar, edited
from .judge import judge

WET = "leak_test: {on: 2026-01-05, hours: 24, result: wet}"
DRY = WET.replace("wet", "dry")
SOLD = "{kind: sold_for_candles, on: 2026-01-02, by: shop}"
CORNER = SOLD.replace("shop", "corner")
WORD = "{kind: makers_word, on: 2026-01-02, by: maker, result: passed}"
SHOCK = (
    "{kind: thermal_shock_test, on: 2026-01-02, by: x, difference: delta 50 degC, result: passed}"
)
POROUS = ("porous: no", "porous: yes\nsealed: yes")
PROOF = SOLD
VESSELS: list[tuple[str, list[Edit], str, list[str], list[str]]] = [
    ("wood", [("glass", "wood")], "", ["burns_or_melts"], []),
    ("plastic", [("glass", "plastic")], "", ["burns_or_melts"], []),
    ("shell", [("glass", "shell")], "", ["burns_or_melts"], []),
    ("stone", [("glass", "stone")], "", [], []),
    ("wood is not asked what cannot save it", [("glass", "wood"), ("porous: no\n", ""),
     ("drinkware: no\n", "")], "", ["burns_or_melts"], []),
    ("porous unsaid", [("porous: no\n", "")], "", [], ["porous_unsaid"]),
    ("drinkware unsaid", [("drinkware: no\n", "")], "", [], ["drinkware_unsaid"]),
    ("opening unsaid", [("opening: 70 mm\n", "")], "", [], ["opening_unsaid"]),
    ("drinkware, wall unsaid", [("drinkware: no", "drinkware: yes")], "", ["drinkware"], []),
    ("drinkware, wall on file, no limit", [("drinkware: no", "drinkware: true")], "wall: 4 mm",
     ["drinkware_no_limit"], []),
    ("wall on file, no limit, no drinkware", [], "wall: 0.3 mm", [], []),
    ("porous and raw", [("porous: no", "porous: yes\nsealed: no")], DRY, ["not_sealed"], []),
    ("porous, raw and untested", [("porous: no", "porous: yes\nsealed: no")], "", ["not_sealed"],
     ["leak_untested"]),
    ("porous, sealed unknown", [("porous: no", "porous: yes")], DRY, [], ["seal_unknown"]),
    ("porous, no leak test", [POROUS], "", [], ["leak_untested"]),
    ("porous, sealed, dry", [POROUS], DRY, [], []),
    ("leaks", [POROUS], WET, ["leaked"], []),
    ("leaks, dry before", [POROUS], f"leak_test: [{DRY[11:]}, {WET[11:]}]", ["leaked"], []),
    ("leak test of a later day", [POROUS], WET.replace("2026-01-05", "2026-07-01"), [],
     ["leak_untested"]),
    ("opening 80 % is enough", [("opening: 70", "opening: 56")], "", [], []),
    ("opening below 80 %", [("opening: 70", "opening: 55.9")], "", ["narrow_mouth"], []),
    ("no entry", [(SOLD, "")], "", [], ["no_heat_evidence"]),
    ("entry of a later day", [("2026-01-02", "2026-06-02")], "", [], ["no_heat_evidence"]),
    ("entry of the day", [("2026-01-02", "2026-06-01")], "", [], []),
    ("general shop", [(SOLD, CORNER)], "", [], ["not_a_candle_supplier"]),
    ("two general shops", [(SOLD, f"{CORNER}, {CORNER}")], "", [], ["not_a_candle_supplier"] * 2),
    ("one that clears is enough", [(SOLD, f"{CORNER}, {WORD}")], "", [], []),
    ("maker's word", [(SOLD, WORD)], "", [], []),
    ("maker's word without result", [(SOLD, WORD.replace(", result: passed", ""))], "", [],
     ["word_without_answer"]),
    ("maker's word against", [(SOLD, WORD.replace("passed", "failed"))], "", ["heat_failed"], []),
    ("shock at the difference", [(SOLD, SHOCK)], "", [], []),
    ("shock too small", [(SOLD, SHOCK.replace("50", "49.9"))], "", [], ["shock_too_small"]),
    ("shock in degF", [(SOLD, SHOCK.replace("delta 50 degC", "Δ90 degF"))], "", [], []),
    ("shock without result", [(SOLD, SHOCK.replace(", result: passed", ""))], "", [],
     ["shock_too_small"]),
    ("shock without difference", [(SOLD, SHOCK.replace(" difference: delta 50 degC,", ""))], "", [],
     ["shock_too_small"]),
    ("shock failed beside good evidence",
     [(SOLD, f"{SOLD}, {SHOCK.replace('passed', 'failed')}")], "", ["heat_failed"], []),
    ("a word without result beside what clears",
     [(SOLD, f"{SOLD}, {WORD.replace(', result: passed', '')}")], "", [], ["word_without_answer"]),
    ("two of them", [(SOLD, ", ".join([SOLD] + [WORD.replace(", result: passed", "")] * 2))], "",
     [], ["word_without_answer"] * 2),
    ("a test without result beside what clears",
     [(SOLD, f"{SOLD}, {SHOCK.replace(', result: passed', '')}")], "", [], ["shock_too_small"]),
    ("one of a later day", [(SOLD, (f"{SOLD}, "
     f"{SHOCK.replace(', result: passed', '').replace('01-02', '07-02')}"))], "", [], []),
    ("a small shock beside what clears", [(SOLD, f"{SOLD}, {SHOCK.replace('50', '49')}")], "", [],
     []),
    ("a general shop beside what clears", [(SOLD, f"{SOLD}, {CORNER}")], "", [], []),
    ("everything that is not enough",
     [(SOLD, f"{CORNER}, {SHOCK.replace('50', '40')}, {WORD.replace(', result: passed', '')}")],
     "", [], ["not_a_candle_supplier", "shock_too_small", "word_without_answer"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("clause", "edits", "lines", "against", "unknown"), VESSELS, ids=[v[0] for v in VESSELS]
)
def test_vessels(
    clause: str, edits: list[Edit], lines: str, against: list[str], unknown: list[str]
) -> None:
    """Each clause of the screening; a vessel not cleared holds its recipe."""
    files = edited("vessels/jar.md", *edits)
    told = judge(added("vessels/jar.md", lines, files) if lines else files, LATER)
    word = "refused" if against else "ask_first" if unknown else "cleared"
    expected = {"screening": word, "against": against, "unknown": unknown}
    assert told["vessels"]["jar"] == expected, clause
    held = word != "cleared"
    assert told["products"]["cedar"]["status"] == ("held" if held else "approved")
    assert told["products"]["cedar"]["missing"] == ({"vessel_not_cleared"} if held else set())


WALLS: list[tuple[str, str, str, list[str], list[str]]] = [
    ("3 mm", "wall: 3 mm", "no", [], []),
    ("3 mm", "wall: 2.99 mm", "no", ["wall_too_thin"], []),
    ("3 mm", "", "no", [], ["wall_unsaid"]),
    ("3 mm", "", "yes", ["drinkware"], ["wall_unsaid"]),
    ("3 mm", "wall: 3 mm", "yes", [], []),
    ("3 mm", "wall: 2.9 mm", "yes", ["wall_too_thin"], []),
    ("{glass: 3 mm, ceramic: 4 mm}", "wall: 3 mm", "yes", [], []),
    ("{glass: 3 mm, ceramic: 4 mm}", "wall: 2.9 mm", "no", ["wall_too_thin"], []),
    ("{ceramic: 4 mm}", "wall: 2 mm", "no", [], []),
    ("{ceramic: 4 mm}", "", "no", [], []),
    ("{ceramic: 4 mm}", "wall: 5 mm", "yes", ["drinkware_no_limit"], []),
]


@pytest.mark.parametrize(("least", "wall", "drinkware", "against", "unknown"), WALLS)
def test_min_wall(
    least: str, wall: str, drinkware: str, against: list[str], unknown: list[str]
) -> None:
    """A protocol's min_wall, for all materials or for some, makes the wall due."""
    files = edited("studio.md", ("default", "own"))
    files = added("protocols/own.md", f"min_wall: {least}", files)
    files = edited("vessels/jar.md", ("drinkware: no", f"drinkware: {drinkware}"), files=files)
    told = judge(added("vessels/jar.md", wall, files), LATER)["vessels"]["jar"]
    assert (told["against"], told["unknown"]) == (against, unknown)


SINCE = "spec: 2\nspec_since: 2026-04-01"
AT_HAND = [
    ("of the former make", SOLD, [], ["former_evidence"]),
    ("dated by the day of the new", SOLD.replace("2026-01-02", "2026-04-01"), [], []),
    ("dated before it", SOLD.replace("2026-01-02", "2026-03-31"), [], ["former_evidence"]),
    ("of the new make, given before", SOLD.replace("}", ", spec: 2}"), [], []),
    ("of the former make, later", SOLD.replace("01-02", "05-01").replace("}", ", spec: 1}"), [],
     ["former_evidence"]),
    ("former, and not yet given", SOLD.replace("2026-01-02", "2026-06-02"), [],
     ["no_heat_evidence"]),
    ("bad news of the former make", (f"{SOLD.replace('01-02', '05-01')}, "
     f"{SHOCK.replace('passed', 'failed')}"), [], []),
    ("bad news of the new make", (f"{SOLD.replace('01-02', '05-01')}, "
     f"{SHOCK.replace('passed', 'failed, spec: 2')}"), ["heat_failed"], []),
    ("a word of the former make without result", (f"{SOLD.replace('01-02', '05-01')}, "
     f"{WORD.replace(', result: passed', '')}"), [], []),
    ("a word of the new make without result", (f"{SOLD.replace('01-02', '05-01')}, "
     f"{WORD.replace(', result: passed', ', spec: 2')}"), [], ["word_without_answer"]),
    ("former good, new not enough", f"{SOLD}, {CORNER.replace('01-02', '05-01')}", [],
     ["not_a_candle_supplier"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("clause", "entries", "against", "unknown"), AT_HAND, ids=[c[0] for c in AT_HAND]
)
def test_heat_evidence_belongs_to_a_specification(
    clause: str, entries: str, against: list[str], unknown: list[str]
) -> None:
    """An entry speaks for the specification of its day, unless it names another."""
    files = added("vessels/jar.md", SINCE, edited("vessels/jar.md", (SOLD, entries)))
    told = judge(files, LATER)["vessels"]["jar"]
    assert (told["against"], told["unknown"]) == (against, unknown), clause


def test_former_evidence_counts_until_the_new_specification() -> None:
    """As of a day before `spec_since`, the former specification is the one in force."""
    files = added("vessels/jar.md", SINCE)
    assert judge(files, date(2026, 3, 31))["vessels"]["jar"]["screening"] == "cleared"
    assert judge(files, date(2026, 4, 1))["vessels"]["jar"]["screening"] == "ask_first"
    # an entry for the make to come does not count for the one at hand
    early = edited("vessels/jar.md", (SOLD, SOLD.replace("}", ", spec: 2}")), files=files)
    told = judge(early, date(2026, 3, 31))["vessels"]["jar"]
    assert told["unknown"] == ["former_evidence"]


def test_leak_tests_belong_to_a_specification() -> None:
    """A dry test of the former make leaves the new one untested; so does a wet one."""
    files = edited("vessels/jar.md", POROUS, (SOLD, SOLD.replace("}", ", spec: 2}")))
    for result in (DRY, WET):
        told = judge(added("vessels/jar.md", f"{result}\n{SINCE}", files), LATER)["vessels"]["jar"]
        assert (told["against"], told["unknown"]) == ([], ["leak_untested"])
    both = f"leak_test: [{WET[11:]}, {DRY[11:].replace('01-05', '04-02')}]"
    told = judge(added("vessels/jar.md", f"{both}\n{SINCE}", files), LATER)["vessels"]["jar"]
    assert told["screening"] == "cleared"


PAPERS = [
    ("fragrances/oil.md", "certificate: {on: 2026-01-03}", "certificate_missing"),
    ("fragrances/oil.md", "safety_sheet: {on: 2026-01-04}", "safety_sheet_missing"),
    ("wicks/c8.md", "lead_free: {on: 2026-01-04, by: shop}", "lead_free_missing"),
]


@pytest.mark.parametrize(("path", "line", "code"), PAPERS, ids=[p[2] for p in PAPERS])
def test_papers_belong_to_a_specification(path: str, line: str, code: str) -> None:
    """A paper of the former make does not count; one that names the new one does, alone or not."""
    bare = {name: text.replace(f"{line}\n", "") for name, text in STUDIO.items()}
    bare = edited("wicks/c8.md", ("cotton", "zinc"), files=bare)
    if code != "lead_free_missing":
        bare = added("wicks/c8.md", "lead_free: {on: 2026-01-04, by: shop}", bare)
    key, entry = line.split(": ", 1)
    new = entry.replace("}", ", spec: 2}")
    later = entry.replace("2026-01", "2026-05")
    for said, missing in [
        (line, True),
        (f"{key}: {new}", False),
        (f"{key}: {later}", False),
        (f"{key}: [{entry}, {later}]", False),
        (f"{key}: [{entry}, {entry}]", True),
        (f"{key}: {later.replace('}', ', spec: 1}')}", True),
        (f"{key}: {later.replace('2026-05', '2026-07')}", True),
    ]:
        files = added(path, f"{said}\n{SINCE}", bare)
        assert (code in cedar(files)["missing"]) == missing, said
    assert code not in cedar(added(path, line, bare))["missing"]
