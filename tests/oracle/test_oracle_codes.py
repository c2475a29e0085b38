"""Hand-worked cases that pin the oracle on the codes of cycles and candles, each at its edge."""

from datetime import date

import pytest

from .cases import LATER, STUDIO, Edit, added, burn_a, candle, cedar, edited
from .judge import judge

END = "end: {how: went_out, left: 10 g, vessel: sound, tilt: steady, cycles: 4}\n"
NO_LEFT = ("left: 10 g, ", "")
VOID = ("room: 21", "void: {why: draught, by: ash, on: 2026-05-01}\nroom: 21")
# one clause each: edits of candle A; then its failures, its gaps, its watches
Codes = tuple[str, list[Edit], list[str], list[str], list[str]]
CYCLES: list[Codes] = [
    ("flame over", [("flame: 31 mm", "flame: 75.1 mm")], ["flame_over"], [], []),
    ("wall watched", [("wall: 51 degC", "wall: 60.1 degC")], [], [], ["wall_over"]),
    ("wall over both", [("wall: 51 degC", "wall: 80.1 degC")], ["wall_over"], [], ["wall_over"]),
    ("depth watched", [("pool: 50 mm", "pool: 50 mm, depth: 13.1 mm")], [], [], ["depth_over"]),
    ("smoke watched", [("after_smoke: 5 s", "after_smoke: 30.1 s")], [], [], ["after_smoke_over"]),
    ("coverage under", [("pool: 68 mm", "pool: 66.4 mm")], ["coverage_under"], [], []),
    ("words", [("pool: 60 mm", "pool: 60 mm, seen: [sooting, crack, smoking, frosting]")],
     ["seen", "seen"], [], ["seen"]),
    ("two readings", [("wall: 52 degC, ", ""), ("pool: 60 mm, ", "")], [],
     ["reading_missing", "reading_missing"], []),
    ("room: 25 is within", [("room: 21", "room: 25")], [], [], []),
    ("room: 15 is within", [("room: 21", "room: 15")], [], [], []),
    ("room: hot in every cycle", [("room: 21", "room: 25.1")], [], [], ["room_over"] * 4),
    ("room: cold in every cycle", [("room: 21", "room: 14.9")], [], [], ["room_under"] * 4),
    ("room: of one cycle", [("pool: 60 mm", "pool: 60 mm, room: 25.1 degC")], [], [],
     ["room_over"]),
    ("room: a cycle's own goes first", [("room: 21", "room: 28"), ("flame: 25 mm",
     "flame: 25 mm, room: 20 degC")], [], [], ["room_over"] * 3),
    ("room: nowhere read", [("room: 21 degC\n", "")], [], [], []),
    ("too long", [("burned: 240 min", "burned: 256 min")], [], ["too_long"], []),
    ("too short", [("burned: 240 min", "burned: 224 min")], [], ["too_short"], []),
    ("rest unknown", [("2026-03-16", "2026-03-15")], [], ["rest_unknown"], []),
    ("rest too short", [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16",
     "2026-03-15 12:59")], [], ["rest_too_short"], []),
    ("times backwards", [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16",
     "2026-03-15 07:59")], [], ["dates_backwards"], []),
    ("dates backwards", [("2026-03-17", "2026-03-14")], [], ["dates_backwards"], []),
    ("a month mistyped", [("2026-03-16", "2026-04-16")], [], ["dates_backwards"], []),
    ("a year mistyped", [("2026-03-18", "2025-03-18")], [], ["before_pouring", "dates_backwards"],
     []),
    ("mass went up", [("after: 315 g", "after: 344.1 g"), NO_LEFT], [],
     ["left_missing", "mass_went_up"], []),
    ("nothing burned", [("after: 448 g", "after: 500 g"), ("before: 448 g", "before: 500 g")], [],
     ["nothing_burned"], []),
    ("a tenth of a gram burned", [("after: 448 g", "after: 499.9 g"), ("before: 448 g",
     "before: 499.9 g")], [], [], []),
    ("mass jumped", [("before: 448 g", "before: 448.3 g")], [], ["mass_jumped"], []),
    ("pool too wide", [("pool: 68 mm", "pool: 71.5 mm")], [], ["pool_too_wide"], []),
    ("smoke: mean over", [(f"after_smoke: {n} s", "after_smoke: 30.1 s") for n in (5, 6, 7)],
     ["mean_after_smoke_over"], [], ["after_smoke_over"] * 3),
]  # fmt: skip
AS_POURED: list[Codes] = [
    ("diameter unsaid", [("inside_diameter: 70 mm, ", "")], [], ["diameter_unsaid"], []),
    ("diameter 2 % more", [("inside_diameter: 70", "inside_diameter: 71.4")], [], [], []),
    ("diameter over 2 % more", [("inside_diameter: 70", "inside_diameter: 71.41")],
     [], ["diameter_disagrees"], []),
    ("diameter over 2 % less, and the pool too wide for it", [("inside_diameter: 70",
     "inside_diameter: 66")], [], ["diameter_disagrees", "pool_too_wide"], []),
    ("coverage by the burn's own", [("inside_diameter: 70", "inside_diameter: 71.4"),
     ("pool: 68 mm", "pool: 67.7 mm")], ["coverage_under"], [], []),
    ("tilt unsaid", [("70 mm, tilt: steady", "70 mm")], [], ["tilt_missing"], []),
    ("fell new", [("70 mm, tilt: steady", "70 mm, tilt: fell")], ["fell_new"], [], []),
    ("not cured", [("made: {on: 2026-03-01", "made: {on: 2026-03-02")], [], ["not_cured"], []),
]  # fmt: skip
ENDS: list[Codes] = [
    ("no end", [(END, ""), ("burned: 2 h", "burned: 4 h"), ("flame: 25 mm",
     "flame: 25 mm, pool: 69 mm, wall: 50 degC, after_smoke: 5 s")], [], ["not_ended"], []),
    ("stopped", [("went_out", "stopped, why: late"),
     ("burned: 2 h", "burned: 4 h, pool: 69 mm, wall: 50 degC, after_smoke: 5 s")],
     [], ["stopped"], []),
    ("stopped after a whole cycle that lacks what a full one needs", [
     ("went_out", "stopped, why: late"), ("burned: 2 h", "burned: 4 h, pool: 69 mm")],
     [], ["reading_missing", "reading_missing", "stopped"], []),
    ("stopped early in a cycle", [("went_out", "stopped, why: late")],
     [], ["stopped", "too_short"], []),
    ("stopped after a whole cycle that fell short of the wall", [("went_out", "stopped, why: late"),
     ("burned: 2 h", "burned: 4 h, pool: 60 mm, wall: 50 degC, after_smoke: 5 s")],
     ["coverage_under"], ["stopped"], []),
    ("vessel untold", [("vessel: sound, ", "")], [], ["end_vessel_missing"], []),
    ("tilt untold", [("sound, tilt: steady", "sound")], [], ["end_tilt_missing"], []),
    ("cracked", [("sound", "cracked")], ["vessel_unsound"], [], []),
    ("fell", [("sound, tilt: steady", "sound, tilt: fell")], ["fell"], [], []),
    ("count untold", [(", cycles: 4", "")], [], ["cycle_count_missing"], []),
    ("count of more", [("cycles: 4", "cycles: 5")], [], ["cycle_count"], []),
    ("count of fewer", [("cycles: 4", "cycles: 3")], [], ["cycle_count"], []),
    ("smoke never read", [(f",\n     wall: 5{n} degC, after_smoke: {n + 4} s",
     f", wall: 5{n} degC") for n in (1, 2, 3)], [],
     ["after_smoke_missing", *["reading_missing"] * 3], []),
]  # fmt: skip
# 200 g were poured, 185 g burned, 10 g are left; the last `after` is 315 g
BALANCES: list[Codes] = [
    ("lost 5 %", [("left: 10 g", "left: 5 g")], [], [], []),
    ("lost over 5 %", [("left: 10 g", "left: 4.9 g")], [], ["unaccounted"], []),
    ("left a quarter", [("left: 10 g", "left: 50 g"), ("after: 315 g", "after: 340 g")], [], [],
     []),
    ("left over a quarter", [("left: 10 g", "left: 50.1 g"), ("after: 315 g", "after: 340 g")], [],
     ["too_much_left"], []),
    ("110 % found", [("left: 10 g", "left: 35 g")], [], [], []),
    ("over 110 % found", [("left: 10 g", "left: 35.1 g")], [], ["more_than_poured"], []),
    ("left unsaid, 5 % not burned", [NO_LEFT, ("after: 315 g", "after: 310 g")], [], [], []),
    ("left unsaid, over 5 %", [NO_LEFT, ("after: 315 g", "after: 310.1 g")], [], ["left_missing"],
     []),
    ("left unsaid, over a quarter", [NO_LEFT, ("before: 344 g, after: 315 g",
     "before: 396 g, after: 350.1 g"), ("before: 396 g, after: 344 g",
     "before: 396 g, after: 396 g")], [], ["left_missing", "nothing_burned", "too_much_left"], []),
    ("left unsaid, more burned than poured", [NO_LEFT, ("after: 315 g", "after: 279.9 g")], [],
     ["more_than_poured"], []),
    ("the wick that was cut has not burned", [("left: 10 g", "left: 5 g"), ("before: 448 g",
     "before: 447.9 g, trimmed: 0.1 g")], [], ["unaccounted"], []),
    ("but what was cut before the first weighing is not in it", [("left: 10 g", "left: 5 g"),
     ("before: 500 g", "before: 500 g, trimmed: 0.1 g")], [], [], []),
]  # fmt: skip
ALL = [*CYCLES, *AS_POURED, *ENDS, *BALANCES]


@pytest.mark.parametrize(
    ("clause", "edits", "failures", "gaps", "watches"), ALL, ids=[one[0] for one in ALL]
)
def test_codes(
    clause: str, edits: list[Edit], failures: list[str], gaps: list[str], watches: list[str]
) -> None:
    """Each clause tells its code, at its edge, and no other."""
    told = burn_a(edited("burns/a.md", *edits))
    assert (told["failures"], told["gaps"], told["watches"]) == (failures, gaps, watches), clause


def _own(lines: str, *edits: Edit) -> dict[str, str]:
    files = added("protocols/own.md", lines, edited("studio.md", ("default", "own")))
    return edited("burns/a.md", *edits, files=files)


def test_a_wider_balance_watches_from_a_twentieth_on() -> None:
    """What is lost beyond 5 % but within the protocol's `balance` is watched."""
    lost = [("left: 10 g", "left: 0 g"), ("after: 315 g", "after: 330 g")]  # 170 of 200 g
    for own, gaps, watches in [
        ("balance: 15 %", [], ["unaccounted"]),
        ("balance: 14.9 %", ["unaccounted"], []),
    ]:
        told = burn_a(_own(own, *lost))
        assert (told["gaps"], told["watches"]) == (gaps, watches)
        told = burn_a(_own(own, NO_LEFT, lost[1]))
        codes = [code.replace("unaccounted", "left_missing") for code in (*gaps, *watches)]
        assert [*told["gaps"], *told["watches"]] == codes
    # it is told on the last cycle
    assert burn_a(_own("balance: 15 %", *lost))["reasons"][3][2] == ["unaccounted"]


def test_needs_of_an_own_protocol() -> None:
    """`tilt` and `cycles` are due only where `needs` names them; `room` may be."""
    bare = "needs: [before, after, burned, pool, flame, wall]"
    edits = [("70 mm, tilt: steady", "70 mm"), (", cycles: 4", "")]
    assert burn_a(_own(bare, *edits))["gaps"] == []
    assert burn_a(_own(bare, ("cycles: 4", "cycles: 3")))["gaps"] == ["cycle_count"]
    room = bare.replace("]", ", room]")
    assert burn_a(_own(room))["gaps"] == []
    unread = ("room: 21 degC\n", "")
    assert burn_a(_own(room, unread))["gaps"] == ["reading_missing"] * 3
    one = ("pool: 60 mm", "pool: 60 mm, room: 20 degC")
    assert burn_a(_own(room, unread, one))["gaps"] == ["reading_missing"] * 2


def test_limits_for_a_material() -> None:
    """A limit for a material is one more limit, on candles in vessels of that material."""
    told = "source: ours, published: no"
    limit = f"limits: [{{measure: wall, at_most: 50 degC, {told}, on_breach: fail, material: %s}}]"
    assert burn_a(_own(limit % "glass"))["failures"] == ["wall_over"] * 3
    assert burn_a(_own(limit % "metal"))["failures"] == []
    # the shipped limits of the same measure stand beside it
    hot = ("wall: 51 degC", "wall: 81 degC")
    assert burn_a(_own(limit % "metal", hot))["failures"] == ["wall_over"]
    assert burn_a(_own(limit % "glass", hot))["failures"] == ["wall_over"] * 4
    # and only where it applies does it make its reading due
    depth = f"limits: [{{measure: depth, at_most: 9 mm, {told}, on_breach: fail, material: %s}}]"
    assert burn_a(_own(depth % "glass"))["gaps"] == ["reading_missing"] * 3
    assert burn_a(_own(depth % "metal"))["gaps"] == []


def test_a_room_limit_that_can_fail_makes_the_room_due() -> None:
    """A limit that can fail makes its reading due, in full cycles."""
    told = "source: ours, published: no, on_breach: fail"
    own = f"limits: [{{measure: room, at_most: 24 degC, {told}}}]"
    assert burn_a(_own(own, ("room: 21", "room: 24.1")))["failures"] == ["room_over"] * 4
    assert burn_a(_own(own, ("room: 21 degC\n", "")))["gaps"] == ["reading_missing"] * 3


def test_a_mean_that_is_watched() -> None:
    """A mean after-smoke that is only watched is told on the last cycle of an ended candle."""
    told = "source: ours, published: no, on_breach: watch"
    own = f"limits: [{{measure: mean_after_smoke, at_most: %s s, {told}}}]"
    assert burn_a(_own(own % "6"))["watches"] == []
    assert burn_a(_own(own % "5.9"))["reasons"][3] == ([], [], ["mean_after_smoke_over"])
    assert burn_a(_own(own % "5.9", (END, "")))["watches"] == []


def test_the_first_mass_against_the_empty_vessel() -> None:
    """Beyond a tenth of the empty vessel's mass and 5 g, the first reading is another candle's."""
    for empty, gaps in [
        ("268.2 g", []),  # 500 - 268.2 - 200 = 31.8; 26.82 + 5 = 31.82
        ("268.1 g", ["first_mass_off"]),  # 31.9; 31.81
        ("338.8 g", []),  # -38.8; 38.88
        ("339 g", ["first_mass_off"]),  # -39; 38.9
    ]:
        files = added("vessels/jar.md", f"empty_mass: {empty}")
        assert burn_a(files)["gaps"] == gaps, empty
        unlit = burn_a(files, date(2026, 3, 14))["gaps"]
        assert unlit == ["after_smoke_missing", "not_ended"]
        early = burn_a(files, date(2026, 3, 15))
        assert early["gaps"] == [*gaps, "not_ended"]


def test_a_later_date_in_the_middle_hides_nothing() -> None:
    """A cycle is seen when one that stands after it is: also one dated in the future."""
    files = edited("burns/a.md", ("2026-03-16", "2026-08-16"))
    told = burn_a(files)
    assert (told["cycles"], told["gaps"]) == (["pass", "pass", "incomplete", "pass"],
                                              ["dates_backwards"])  # fmt: skip
    assert len(burn_a(files, date(2026, 3, 16))["cycles"]) == 1
    assert len(burn_a(files, date(2026, 3, 17))["cycles"]) == 3
    failing = edited("burns/a.md", ("flame: 32 mm", "flame: 99 mm"), files=files)
    assert burn_a(failing)["verdict"] == "fail"
    # the last one, dated later, is not seen, and no end is
    last = edited("burns/a.md", ("2026-03-18", "2026-08-18"))
    assert burn_a(last)["gaps"] == ["not_ended"]


AS = ("room: 21 degC", "room: 21 degC\nas: misuse\nhow: draught")
MISUSES: list[tuple[str, list[Edit], str, list[str], list[str]]] = [
    ("clean", [], "misuse", [], []),
    ("no gaps", [("wall: 52 degC, ", ""), ("2026-03-17", "2026-03-15"), NO_LEFT,
     (", inside_diameter: 70 mm, tilt: steady", ""), (", cycles: 4", "")], "misuse", [], []),
    ("limits are watched", [("flame: 31 mm", "flame: 99 mm")], "misuse", [], ["flame_over"]),
    ("critical word", [("flame: 31 mm", "flame: 31 mm, seen: [flare_up]")], "fail", ["seen"], []),
    ("other words are watched", [("flame: 31 mm", "flame: 31 mm, seen: [sooting, smoking]")],
     "misuse", [], ["seen", "seen"]),
    ("notes stay notes", [("flame: 31 mm", "flame: 31 mm, seen: [frosting]")], "misuse", [], []),
    ("vessel cracked", [("sound", "cracked")], "fail", ["vessel_unsound"], []),
    ("fell at the end", [("sound, tilt: steady", "sound, tilt: fell")], "fail", ["fell"], []),
    ("fell new", [("70 mm, tilt: steady", "70 mm, tilt: fell")], "fail", ["fell_new"], []),
    ("mean smoke", [(f"after_smoke: {n} s", "after_smoke: 30.1 s") for n in (5, 6, 7)], "misuse",
     [], ["after_smoke_over"] * 3 + ["mean_after_smoke_over"]),
    ("not ended", [(END, "")], "misuse", [], []),
    ("void", [VOID], "void", [], []),
]  # fmt: skip


@pytest.mark.parametrize(
    ("clause", "edits", "verdict", "failures", "watches"), MISUSES, ids=[m[0] for m in MISUSES]
)
def test_misuse(
    clause: str, edits: list[Edit], verdict: str, failures: list[str], watches: list[str]
) -> None:
    """A misuse burn is never evidence for anything, and fails only by what is critical."""
    files = edited("burns/a.md", AS, *edits)
    told, product = burn_a(files), cedar(files)
    assert (told["verdict"], told["failures"]) == (verdict, failures), clause
    assert (told["gaps"], told["watches"]) == ([], watches), clause
    assert set(told["cycles"]) <= {"pass", "fail"}
    assert "a" not in product["passed"] + product["incomplete"] + product["burning"]
    assert product["status"] == ("failed" if failures else "in_test")
    assert product["misuse"] == (["a"] if verdict == "misuse" else [])


def test_misuse_alone_is_no_test() -> None:
    """A recipe of which only misuse candles are on file is untested; they count all the same."""
    files = dict(STUDIO)
    for letter in "abc":
        files = edited(f"burns/{letter}.md", AS, files=files)
    told = cedar(files)
    assert (told["status"], told["missing"]) == ("untested", {"too_few_passed"})
    del files["burns/c.md"]
    assert "missing_candle" in cedar(files)["missing"]


A_PAIRS = [("500", "448"), ("448", "396"), ("396", "344"), ("344", "315")]


def _as_a(count: int, letter: str = "B") -> str:
    """Return a candle with so many cycles' masses copied from A."""
    text, more = candle(letter), ord(letter) - ord("A")
    for before, after in A_PAIRS[:count]:
        old = f"before: {int(before) + more} g, after: {int(after) + more} g"
        text = text.replace(old, f"before: {before} g, after: {after} g")
    return text.replace("scale: 0.1 g", "scale: 1 g")  # no jump of 1 g where the copying ends


@pytest.mark.parametrize(("count", "copied"), [(2, False), (3, True), (4, True)])
def test_copies(count: int, *, copied: bool) -> None:
    """Two candles with three cycles alike are copies: neither counts, and both are told."""
    told = judge(STUDIO | {"burns/b.md": _as_a(count)}, LATER)
    gaps = [["copied"] if copied else []] * 2
    assert [told["burns"][one]["gaps"] for one in ("a", "b")] == gaps
    assert told["burns"]["c"]["verdict"] == "pass"
    passed = ["c"] if copied else ["a", "b", "c"]
    assert told["products"]["cedar"]["passed"] == passed


def test_copies_are_told_on_the_day_they_are_seen() -> None:
    """Only cycles that a day sees are compared; three are enough without an end."""
    files = STUDIO | {"burns/b.md": _as_a(4)}
    assert burn_a(files, date(2026, 3, 16))["gaps"] == ["not_ended"]
    assert burn_a(files, date(2026, 3, 17))["gaps"] == ["copied", "not_ended"]


def test_copies_of_short_records() -> None:
    """With one or two pairs, both must have ended and agree in all of them."""
    first = STUDIO["burns/a.md"]
    drop = [line for line in first.splitlines(keepends=True) if "2026-03-1" in line]
    short = first
    for start in (drop[2], drop[3]):
        begin = short.index(start)
        stop = min(i for i in (short.find("  - {on", begin + 5), short.find("end:")) if i > 0)
        short = short[:begin] + short[stop:]
    short = short.replace("cycles: 4", "cycles: 2")
    other = short.replace("candle: A", "candle: B")
    files = STUDIO | {"burns/a.md": short, "burns/b.md": other}
    assert "copied" in burn_a(files)["gaps"]
    assert "copied" not in burn_a(files | {"burns/b.md": other.replace("396 g", "395 g")})["gaps"]
    assert (
        "copied"
        not in burn_a(files | {"burns/b.md": other[: other.index("end:")] + "---\n"})["gaps"]
    )
    # a whole record that begins with the same two is another candle
    whole = _as_a(2)
    assert "copied" not in burn_a(STUDIO | {"burns/a.md": short, "burns/b.md": whole})["gaps"]


def test_what_is_copied_keeps_its_failures() -> None:
    """Failures stand in copies; void and misuse candles are compared too, misuse told nothing."""
    files = STUDIO | {"burns/b.md": _as_a(4).replace("flame: 31 mm", "flame: 99 mm")}
    assert judge(files, LATER)["burns"]["b"]["verdict"] == "fail"
    assert cedar(files)["status"] == "failed"
    assert burn_a(files)["gaps"] == ["copied"]
    void = edited("burns/b.md", VOID, files=STUDIO | {"burns/b.md": _as_a(4)})
    assert burn_a(void)["gaps"] == ["copied"]
    misuse = edited("burns/b.md", AS, files=STUDIO | {"burns/b.md": _as_a(4)})
    assert burn_a(misuse)["gaps"] == ["copied"]
    assert judge(misuse, LATER)["burns"]["b"]["gaps"] == []


def test_copies_across_recipes() -> None:
    """Any two burns of the studio are compared, whatever they are of."""
    other = candle("A").replace("recipe: cedar", "recipe: other").replace("wick: c8", "wick: c9")
    recipe = STUDIO["recipes/cedar.md"].replace("wick: c8", "wick: c9")
    files = STUDIO | {"recipes/other.md": recipe, "burns/z.md": other}
    assert burn_a(files)["gaps"] == ["copied"]
