"""Hand-worked cases that pin the oracle on doubts: what is unsaid might have been a failure."""

from datetime import date

import pytest

from .cases import LATER, OTHER, STUDIO, Edit, added, burn_a, candle, cedar, edited
from .judge import judge

END = "end: {how: went_out, left: 10 g, vessel: sound, tilt: steady, cycles: 4}\n"
VOID = "void: {why: draught, by: ash, on: 2026-05-01}"
UNENDED = [(END, ""), ("room: 21", "lit: 4\nroom: 21")]
MISUSE = "as: misuse\nhow: draught"
# one clause each: edits of candle A; then the gaps of the candle, and the doubts about it
DOUBTS: list[tuple[str, list[Edit], list[str], set[str]]] = [
    ("lit as often as is on file", [("room: 21", "lit: 4\nroom: 21")], [], set()),
    ("lit once more", [("room: 21", "lit: 5\nroom: 21")], [], {"record_cut"}),
    ("lit once less", [("room: 21", "lit: 3\nroom: 21")], [], {"record_cut"}),
    ("lit says it without an end", [("room: 21", "lit: 5\nroom: 21"), (END, ""),
     ("burned: 2 h", "burned: 4 h, unread: [wall, pool, after_smoke]"), ("after: 315", "after: 321")
     ], ["not_ended", *["reading_missing"] * 3], {"record_cut"}),
    ("count of more", [("cycles: 4", "cycles: 5")], ["cycle_count"], {"record_cut"}),
    ("count unsaid", [(", cycles: 4", "")], ["cycle_count_missing"], {"count_missing"}),
    ("count unsaid, and how often it was lit", [(", cycles: 4", ""), ("room: 21",
     "lit: 4\nroom: 21")], ["cycle_count_missing"], {"count_missing"}),
    ("a reading unsaid", [("wall: 52 degC, ", "")], ["reading_missing"], {"reading_unsaid"}),
    ("a reading that was not read", [("wall: 52 degC", "unread: [wall]")], ["reading_missing"],
     set()),
    ("another one was not read", [("wall: 52 degC", "unread: [pool, flame]")], ["reading_missing"],
     {"reading_unsaid"}),
    ("one of two was not read", [("wall: 52 degC", "unread: [wall]"), ("pool: 60 mm, ", "")],
     ["reading_missing"] * 2, {"reading_unsaid"}),
    ("smoke of a full cycle", [(", after_smoke: 6 s", "")], ["reading_missing"],
     {"reading_unsaid"}),
    ("smoke of a full cycle, not read", [("after_smoke: 6 s", "unread: [after_smoke]")],
     ["reading_missing"], set()),
    ("the last cycle's flame", [(", flame: 25 mm", "")], ["reading_missing"], {"reading_unsaid"}),
    ("the last cycle's flame, not read", [("flame: 25 mm", "unread: [flame]")],
     ["reading_missing"], set()),
    ("tilt unsaid", [("70 mm, tilt: steady", "70 mm")], ["tilt_missing"], {"tilt_unsaid"}),
    ("never tilted", [("70 mm, tilt: steady", "70 mm, tilt: untried")], ["tilt_missing"], set()),
    ("vessel unsaid", [("vessel: sound, ", "")], ["end_vessel_missing"], {"end_state_unsaid"}),
    ("vessel unseen", [("sound", "unseen")], ["end_vessel_missing"], set()),
    ("tilt at the end unsaid", [("sound, tilt: steady", "sound")], ["end_tilt_missing"],
     {"end_state_unsaid"}),
    ("not tilted at the end", [("sound, tilt: steady", "sound, tilt: untried")],
     ["end_tilt_missing"], set()),
    ("dates reversed", [("2026-03-17", "2026-03-15")], ["dates_backwards"], {"dates_reversed"}),
    ("one date twice", [("2026-03-17", "2026-03-16")], ["rest_unknown"], set()),
    ("times reversed", [("2026-03-15", "2026-03-15 08:00"), ("2026-03-16", "2026-03-15 07:59")],
     ["dates_backwards"], {"dates_reversed"}),
    ("one time of two", [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16", "2026-03-15")],
     ["rest_unknown"], set()),
    ("width unsaid", [("inside_diameter: 70 mm, ", "")], ["diameter_unsaid"], {"width_in_doubt"}),
    ("width 2 % off", [("inside_diameter: 70 mm", "inside_diameter: 68.6 mm")], [], set()),
    ("width over 2 % off", [("inside_diameter: 70 mm", "inside_diameter: 68.5 mm")],
     ["diameter_disagrees"], {"width_in_doubt"}),
    ("a failure is no doubt", [("sound, tilt: steady", "sound, tilt: fell")], [], set()),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "edits", "gaps", "whys"), DOUBTS, ids=[d[0] for d in DOUBTS])
def test_doubts(clause: str, edits: list[Edit], gaps: list[str], whys: set[str]) -> None:
    """Each doubt holds the combination; what is said not to have been read is a gap alone."""
    files = edited("burns/a.md", *edits)
    assert (burn_a(files)["gaps"], cedar(files)["whys"]) == (gaps, whys), clause
    assert ("missing_candle" in cedar(files)["missing"]) == bool(whys)
    # on every day that sees it, void or not
    assert cedar(files, date(2026, 2, 28))["whys"] == set()
    assert cedar(added("burns/a.md", VOID, files))["whys"] == whys
    # of whoever shares its evidence too
    shared = judge(files | {"recipes/other.md": OTHER}, LATER)["products"]["other"]
    assert shared["whys"] == whys
    # a misuse burn must say what became of the vessel, and hold as many cycles as it counts
    misuse = cedar(added("burns/a.md", MISUSE, files))["whys"]
    untold = {"end_state_unsaid"} if clause == "vessel unsaid" else set()
    assert misuse == untold | (whys & {"record_cut"})


def test_a_doubt_about_a_further_candle_holds_what_enough_passed() -> None:
    """Three candles passed; a fourth with a cycle that does not say its flame holds them all."""
    files = {path: text.replace("candles: 3", "candles: 4") for path, text in STUDIO.items()}
    fourth = candle("D").replace("candles: 3", "candles: 4")
    for flame, status in [
        ("", "held"),
        ("unread: [flame], ", "approved"),
        ("flame: 75 mm, ", "approved"),
        ("flame: 75.1 mm, ", "failed"),
    ]:
        told = cedar(files | {"burns/d.md": fourth.replace("flame: 32 mm,\n", f"{flame}\n")})
        assert told["status"] == status, flame


ENDS: list[tuple[str, str, str, bool]] = [
    ("whole, much left", "3 h 45 min", "321 g", False),
    ("short, much left", "3 h 44 min", "321 g", False),
    ("whole, a twentieth left", "4 h", "310 g", True),
    ("whole, over a twentieth left", "4 h", "310.1 g", False),
    ("whole, more burned than poured", "4 h", "290 g", True),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "burned", "after", "held"), ENDS, ids=[e[0] for e in ENDS])
def test_an_end_that_is_not_written_holds_its_recipe(
    clause: str, burned: str, after: str, *, held: bool
) -> None:
    """Of 200 g poured at most a twentieth has not burned: an end."""
    last = ("after: 315 g", f"after: {after}, pool: 69 mm, wall: 50 degC, after_smoke: 5 s")
    whole = edited("burns/a.md", ("burned: 2 h", f"burned: {burned}"), last)
    files = edited("burns/a.md", *UNENDED, files=whole)
    assert cedar(files)["whys"] == ({"end_unsaid"} if held else set()), clause
    assert "end_unsaid" not in cedar(whole)["whys"]
    assert cedar(added("burns/a.md", MISUSE, files))["whys"] == cedar(files)["whys"]


def test_a_candle_that_burns_on_says_how_often_it_was_lit() -> None:
    """Of a misuse burn as well, and only while a count is asked for."""
    whole = edited("burns/a.md", ("burned: 2 h", "burned: 4 h, unread: [wall, pool, after_smoke]"),
                   ("after: 315", "after: 321"))  # fmt: skip
    files = edited("burns/a.md", (END, ""), files=whole)
    assert cedar(files)["whys"] == {"lit_unsaid"}
    assert cedar(added("burns/a.md", MISUSE, files))["whys"] == {"lit_unsaid"}
    assert cedar(edited("burns/a.md", *UNENDED, files=whole))["whys"] == set()


@pytest.mark.parametrize(("empty", "whys"), [("300 g", set()), ("340 g", {"mass_in_doubt"})])
def test_a_first_weight_that_is_not_this_candles(empty: str, whys: set[str]) -> None:
    """A tenth of the empty vessel and 5 g are let be: 500 g less 200 g of wax are 300 g."""
    files = edited("vessels/jar.md", ("inside_diameter", f"empty_mass: {empty}\ninside_diameter"))
    assert cedar(files)["whys"] == whys


def test_what_was_cut_from_the_wick_has_not_burned() -> None:
    """Half a gram of wick cut between two cycles leaves that much more than a twentieth."""
    unended = [*UNENDED, ("burned: 2 h", "burned: 4 h"),
               ("after: 315 g", "after: 310 g, pool: 69 mm, wall: 50 degC, after_smoke: 5 s"),
               ("before: 448 g", "before: 447.5 g, trimmed: 0.5 g")]  # fmt: skip
    assert cedar(edited("burns/a.md", *unended))["whys"] == set()
    # what was cut before the first weighing is not in it
    first = ("before: 500 g", "before: 500 g, trimmed: 0.5 g")
    assert cedar(edited("burns/a.md", *unended[:4], first))["whys"] == {"end_unsaid"}
    # neither weight on file: nothing is known of it
    unread = (" before: 500 g,", " unread: [before],")
    assert cedar(edited("burns/a.md", *unended[:4], unread))["whys"] == set()


def test_the_last_cycle_of_no_end_is_a_full_one() -> None:
    """Without an end every cycle is full, and what is due of a full one must be said."""
    files = edited("burns/a.md", *UNENDED, ("burned: 2 h", "burned: 4 h"),
                   ("after: 315 g", "after: 335 g"))  # fmt: skip
    assert cedar(files)["whys"] == {"reading_unsaid"}
    said = ("flame: 25 mm", "flame: 25 mm, unread: [pool, wall, after_smoke]")
    assert cedar(edited("burns/a.md", said, files=files))["whys"] == set()


DAYS: list[tuple[str, list[Edit], str, set[str]]] = [
    ("of the first cycle", [(" flame: 31 mm,", "")], "2026-03-15", {"reading_unsaid"}),
    ("before it", [(" flame: 31 mm,", "")], "2026-03-14", set()),
    ("of the third", [(" flame: 33 mm,", "")], "2026-03-16", set()),
    ("tilt, lit", [("70 mm, tilt: steady", "70 mm")], "2026-03-15", {"tilt_unsaid"}),
    ("tilt, unlit", [("70 mm, tilt: steady", "70 mm")], "2026-03-14", set()),
    ("end not seen", [("vessel: sound, ", ""), (", cycles: 4", "")], "2026-03-17", set()),
    ("end seen", [("vessel: sound, ", ""), (", cycles: 4", "")], "2026-03-18",
     {"end_state_unsaid", "count_missing"}),
    ("count, poured", [("cycles: 4", "cycles: 5")], "2026-03-01", {"record_cut"}),
    ("dates, poured", [("2026-03-17", "2026-03-15")], "2026-03-01", {"dates_reversed"}),
    ("width, poured", [("inside_diameter: 70 mm, ", "")], "2026-03-01", {"width_in_doubt"}),
    ("width, not poured", [("inside_diameter: 70 mm, ", "")], "2026-02-28", set()),
    ("not lit yet, no end and no count", [(END, "")], "2026-03-14", set()),
    ("no end and no count, seen", [(END, "")], "2026-03-16", {"lit_unsaid"}),
    ("an end, not seen", [("burned: 240 min", "burned: 2 h")], "2026-03-16", set()),
    ("no end, burned down by then", [*UNENDED, ("after: 396 g", "after: 310 g"),
     ("before: 396 g", "before: 310 g"), ("after: 344 g", "after: 309 g")], "2026-03-16",
     {"end_unsaid"}),
    ("no end, not burned down by then", [*UNENDED, ("after: 396 g", "after: 311 g"),
     ("before: 396 g", "before: 311 g"), ("after: 344 g", "after: 309 g")], "2026-03-16", set()),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "edits", "day", "whys"), DAYS, ids=[d[0] for d in DAYS])
def test_doubts_are_of_a_day(clause: str, edits: list[Edit], day: str, whys: set[str]) -> None:
    """What a day sees is asked on that day: a later candle casts no doubt on an older batch."""
    files = edited("burns/a.md", *edits)
    assert cedar(files, date.fromisoformat(day))["whys"] == whys, clause


def test_no_cycle_no_tilt() -> None:
    """A candle that was never lit need not have been tilted yet; its width is due."""
    text = STUDIO["burns/a.md"]
    bare = text[: text.index("cycles:")] + "---\n"
    assert cedar(STUDIO | {"burns/a.md": bare})["whys"] == set()
    untilted = bare.replace(", tilt: steady", "")
    assert cedar(STUDIO | {"burns/a.md": untilted})["whys"] == set()
    wide = untilted.replace("inside_diameter: 70 mm", "inside_diameter: 80 mm")
    assert cedar(STUDIO | {"burns/a.md": wide})["whys"] == {"width_in_doubt"}
    lit = bare.replace("room:", "lit: 1\nroom:")
    assert cedar(STUDIO | {"burns/a.md": lit})["whys"] == {"record_cut"}


def _own(lines: str, *edits: Edit) -> dict[str, str]:
    files = added("protocols/own.md", lines, edited("studio.md", ("default", "own")))
    return edited("burns/a.md", *edits, files=files)


def test_what_is_due_by_an_own_protocol() -> None:
    """Tilt and count where `needs` names them; readings of the limits that can fail."""
    bare = "needs: [before, after, burned, flame]"
    unsaid = [("70 mm, tilt: steady", "70 mm"), (", cycles: 4", "")]
    assert cedar(_own(bare, *unsaid))["whys"] == set()
    assert cedar(_own(bare, ("sound, tilt: steady", "sound")))["whys"] == {"end_state_unsaid"}
    # pool is due only with coverage, in the third and last full cycle; wall by its limit
    assert cedar(_own(bare, ("pool: 60 mm, ", "")))["whys"] == set()
    assert cedar(_own(bare, ("pool: 68 mm, ", "")))["whys"] == {"reading_unsaid"}
    assert cedar(_own(bare, ("wall: 52 degC, ", "")))["whys"] == {"reading_unsaid"}
    told = "source: ours, published: no"
    limit = f"limits: [{{measure: depth, at_most: 9 mm, {told}, on_breach: fail, material: %s}}]"
    assert set(cedar(_own(limit % "glass"))["whys"]) == {"reading_unsaid"}
    assert cedar(_own(limit % "metal"))["whys"] == set()


def test_counts_of_a_recipe_are_whys_too() -> None:
    """What tells that a record is gone stands beside what a record leaves in doubt."""
    files = edited("recipes/cedar.md", ("test_candles: 3", "test_candles: 4"))
    files = edited("burns/a.md", ("candles: 3", "candles: 4"), (", cycles: 4", ""), files=files)
    assert cedar(files)["whys"] == {
        "count_disagrees", "pouring_disagrees", "pouring_incomplete", "count_missing",
    }  # fmt: skip
