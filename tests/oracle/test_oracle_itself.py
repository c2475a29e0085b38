"""Hand-worked cases that pin the oracle on each clause about cycles, candles and vessels."""

import ast
from datetime import date
from pathlib import Path

import pytest

from .cases import LATER, STUDIO, Edit, added, burn_a, cedar, edited
from .judge import judge


def test_base_studio_is_approved() -> None:
    """Three clean candles, a cleared vessel and all papers: every clause holds."""
    told = judge(STUDIO, LATER)
    assert told["products"]["cedar"] == {
        "status": "approved",
        "missing": set(),
        "passed": ["a", "b", "c"],
        "failed": [],
        "burning": [],
        "incomplete": [],
        "void": [],
        "misuse": [],
        "ladder": [],
        "whys": set(),
    }
    assert told["burns"]["a"] == {
        "verdict": "pass",
        "failures": [],
        "gaps": [],
        "watches": [],
        "cycles": ["pass"] * 4,
        "reasons": [([], [], [])] * 4,
    }
    assert told["vessels"] == {"jar": {"screening": "cleared", "against": [], "unknown": []}}


P, GAP, F = "pass", "incomplete", "fail"
CYCLES: list[tuple[str, list[Edit], list[str]]] = [
    ("2: at most is inclusive", [("flame: 31 mm", "flame: 75 mm")], [P, P, P, P]),
    ("2: a failing limit breached", [("flame: 31 mm", "flame: 75.1 mm")], [F, P, P, P]),
    ("2: also in the last cycle", [("flame: 25 mm", "flame: 76 mm")], [P, P, P, F]),
    ("2: a watch is no fail", [("wall: 51 degC", "wall: 60.5 degC")], [P, P, P, P]),
    ("2: wall over 80 degC", [("wall: 52 degC", "wall: 176.2 degF")], [P, F, P, P]),
    ("2: depth only watched", [("pool: 50 mm", "pool: 50 mm, depth: 20 mm")], [P, P, P, P]),
    ("2: critical word seen", [("flame: 25 mm", "flame: 25 mm, seen: [leak]")], [P, P, P, F]),
    ("2: sooting fails", [("pool: 60 mm", "pool: 60 mm, seen: [sooting]")], [P, F, P, P]),
    ("2: mushrooming watched", [("pool: 60 mm", "pool: 60 mm, seen: [mushrooming]")], [P] * 4),
    ("2: frosting noted", [("pool: 60 mm", "pool: 60 mm, seen: [frosting]")], [P] * 4),
    ("coverage: not due before the third", [("pool: 60 mm", "pool: 20 mm")], [P] * 4),
    ("coverage: 66.5 / 70 = 95 %", [("pool: 68 mm", "pool: 66.5 mm")], [P] * 4),
    ("coverage: below 95 %", [("pool: 68 mm", "pool: 66.4 mm")], [P, P, F, P]),
    (
        "coverage: not due in the last cycle",
        [("flame: 25 mm", "flame: 25 mm, pool: 30 mm")],
        [P, P, P, P],
    ),
    ("needs: wall due in a full cycle", [("wall: 52 degC, ", "")], [P, GAP, P, P]),
    ("needs: pool due in a full cycle", [("pool: 50 mm, ", "")], [GAP, P, P, P]),
    ("needs: flame due in the last", [(", flame: 25 mm", "")], [P, P, P, GAP]),
    ("needs: after due in the last", [("after: 315 g, ", "")], [P, P, P, GAP]),
    ("fail before incomplete", [("pool: 50 mm, flame: 31 mm", "flame: 80 mm")], [F, P, P, P]),
    ("length: 15 min over is within", [("burned: 240 min", "burned: 4 h 15 min")], [P] * 4),
    ("length: 16 min over", [("burned: 240 min", "burned: 256 min")], [P, GAP, P, P]),
    ("length: 15 min under is within", [("burned: 240 min", "burned: 3 h 45 min")], [P] * 4),
    ("length: 16 min under", [("burned: 240 min", "burned: 3 h 44 min")], [P, GAP, P, P]),
    ("length: last too long", [("burned: 2 h", "burned: 4 h 16 min")], [P, P, P, GAP]),
    (
        "length: last short and stopped",
        [("how: went_out", "how: stopped, why: late")],
        [P, P, P, GAP],
    ),
    ("rest: one date without times", [("2026-03-16", "2026-03-15")], [P, GAP, P, P]),
    (
        "rest: one date, one time",
        [("2026-03-16", "2026-03-15 20:00")],
        [P, GAP, P, P],
    ),
    (
        "rest: exactly one hour",
        [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16", "2026-03-15T13:00")],
        [P, P, P, P],
    ),
    (
        "rest: a minute short of one hour",
        [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16", "2026-03-15 12:59")],
        [P, GAP, P, P],
    ),
    (
        "rest: over midnight, from times",
        [("on: 2026-03-15", "on: 2026-03-15 20:00"), ("2026-03-16", "2026-03-16 00:59")],
        [P, GAP, P, P],
    ),
    (
        "rest: unknown when the one before has no duration",
        [
            ("on: 2026-03-15, burned: 4 h", "on: 2026-03-15 08:00"),
            ("2026-03-16", "2026-03-16 08:00"),
        ],
        [GAP, GAP, P, P],
    ),
    ("order: dates run backwards", [("2026-03-17", "2026-03-15")], [P, P, GAP, P]),
    (
        "order: times run backwards",
        [("on: 2026-03-15", "on: 2026-03-15 08:00"), ("2026-03-16", "2026-03-15 07:00")],
        [P, GAP, P, P],
    ),
    ("order: before pouring", [("on: 2026-03-15", "on: 2026-02-28")], [GAP, P, P, P]),
    ("numbers: mass went up", [("after: 315 g", "after: 344.1 g")], [P, P, P, GAP]),
    ("numbers: mass stayed", [("after: 315 g", "after: 344 g")], [P, P, P, GAP]),
    ("continuity: 2 x 0.1 g", [("before: 448 g", "before: 448.2 g")], [P] * 4),
    ("continuity: over 2 x 0.1 g", [("before: 448 g", "before: 448.3 g")], [P, GAP, P, P]),
    ("continuity: under", [("before: 448 g", "before: 447.7 g")], [P, GAP, P, P]),
    (
        "continuity: a told trim is allowed for",
        [("before: 448 g", "before: 447.6 g, trimmed: 0.4 g")],
        [P] * 4,
    ),
    (
        "continuity: a trim told but not cut",
        [("before: 448 g", "before: 448 g, trimmed: 0.4 g")],
        [P, GAP, P, P],
    ),
    (
        "continuity: not checked without the last after",
        [("after: 448 g, ", "")],
        [GAP, P, P, P],
    ),
    ("numbers: pool at 101.9 %", [("pool: 68 mm", "pool: 71.3 mm")], [P] * 4),
    ("numbers: pool over 102 %", [("pool: 68 mm", "pool: 71.5 mm")], [P, P, GAP, P]),
]


@pytest.mark.parametrize(("clause", "edits", "expected"), CYCLES, ids=[c[0] for c in CYCLES])
def test_cycles(clause: str, edits: list[Edit], expected: list[str]) -> None:
    """Each clause on a cycle moves exactly the cycles it should."""
    assert burn_a(edited("burns/a.md", *edits))["cycles"] == expected, clause


END = "end: {how: went_out, left: 10 g, vessel: sound, tilt: steady, cycles: 4}\n"
SMOKE = [(f"after_smoke: {n} s", f"after_smoke: {m} s") for n, m in ((5, 20), (6, 30), (7, 40))]
CANDLES: list[tuple[str, list[Edit], str]] = [
    ("3: no end is burning", [(END, "")], "burning"),
    ("3: no end, failing cycle", [(END, ""), ("flame: 25 mm", "flame: 90 mm")], F),
    ("3: an incomplete cycle", [("wall: 52 degC, ", "")], GAP),
    ("end: cracked", [("vessel: sound", "vessel: cracked")], F),
    ("end: leaking", [("vessel: sound", "vessel: leaking")], F),
    ("end: broken", [("vessel: sound", "vessel: broken")], F),
    ("end: fell", [("sound, tilt: steady", "sound, tilt: fell")], F),
    ("end: stopped", [("went_out", "stopped, why: late"), ("burned: 2 h", "burned: 4 h")], GAP),
    ("end: tilt not told", [("sound, tilt: steady", "sound")], GAP),
    ("cure: 14 days", [("made: {on: 2026-03-01", "made: {on: 2026-03-02")], GAP),
    ("cure: longest of its waxes", [("soy: 184 g", "soy: 180 g, coco: 4 g")], GAP),
    ("smoke: the mean may be the limit", SMOKE, P),
    ("smoke: the mean is over", [*SMOKE[:2], ("after_smoke: 7 s", "after_smoke: 40.1 s")], F),
    (
        "smoke: no mean before the end",
        [*SMOKE[:2], ("after_smoke: 7 s", "after_smoke: 99 s"), (END, "")],
        "burning",
    ),
    (
        "smoke: never read",
        [
            (f",\n     wall: 5{n} degC, after_smoke: {n + 4} s", f", wall: 5{n} degC")
            for n in (1, 2, 3)
        ],
        GAP,
    ),
    (
        "void: counts from its day",
        [("room: 21", "void: {why: draught, by: ash, on: 2026-06-01}\nroom: 21")],
        "void",
    ),
    (
        "void: not before its day",
        [("room: 21", "void: {why: draught, by: ash, on: 2026-06-02}\nroom: 21")],
        P,
    ),
]


@pytest.mark.parametrize(("clause", "edits", "expected"), CANDLES, ids=[c[0] for c in CANDLES])
def test_candles(clause: str, edits: list[Edit], expected: str) -> None:
    """Each clause on a test candle gives the verdict the design names."""
    assert burn_a(edited("burns/a.md", *edits))["verdict"] == expected, clause


def test_void_never_hides_a_failure() -> None:
    """A voided candle with a failing cycle stays failed; without one it counts neither way."""
    void = ("room: 21", "void: {why: draught, by: ash, on: 2026-05-01}\nroom: 21")
    told = cedar(edited("burns/a.md", void, ("flame: 31 mm", "flame: 99 mm")))
    assert (told["void"], told["failed"], told["passed"]) == ([], ["a"], ["b", "c"])
    assert told["status"] == "failed"
    told = cedar(edited("burns/a.md", void))
    assert (told["void"], told["failed"], told["passed"]) == (["a"], [], ["b", "c"])
    assert told["status"] == "in_test"
    # what is missing or burning is set aside too
    assert burn_a(edited("burns/a.md", void, (END, "")))["verdict"] == "void"
    assert burn_a(edited("burns/a.md", void, ("wall: 52 degC, ", "")))["verdict"] == "void"


@pytest.mark.parametrize(
    ("day", "verdict", "cycles", "status"),
    [
        ("2026-02-28", None, None, "untested"),
        ("2026-03-01", "burning", 0, "in_test"),
        ("2026-03-16", "burning", 2, "in_test"),
        ("2026-03-17", "burning", 3, "in_test"),
        ("2026-03-18", "pass", 4, "approved"),
    ],
)
def test_as_of(day: str, verdict: str | None, cycles: int | None, status: str) -> None:
    """As of an earlier day only what is dated by then is seen; the end with the last cycle."""
    told = judge(STUDIO, date.fromisoformat(day))
    assert told["products"]["cedar"]["status"] == status
    burn = told["burns"].get("a")
    assert (burn and burn["verdict"]) == verdict
    assert burn is None or len(burn["cycles"]) == cycles


def test_last_cycle_is_full_while_no_end_is_seen() -> None:
    """Without a visible end every visible cycle is judged as full: a short one is incomplete."""
    assert burn_a(edited("burns/a.md", (END, "")))["cycles"] == [P, P, P, GAP]


def test_own_protocol_is_laid_over_the_shipped_one() -> None:
    """Same measure, side and breach replace; others are added; observations merge by word."""
    own = """limits:
  - {measure: flame, at_most: 30 mm, source: s, published: no, on_breach: fail}
  - {measure: depth, at_most: 10 mm, source: s, published: no, on_breach: fail}
observations: {mushrooming: fail}"""
    files = added("protocols/own.md", own, edited("studio.md", ("default", "own")))
    # flames of 31, 32 and 33 mm fail now; the last has 25 mm and needs no depth
    assert burn_a(files)["cycles"] == [F, F, F, P]
    low = {f"flame: 3{n} mm": f"flame: 2{n} mm" for n in (1, 2, 3)}
    files = edited("burns/a.md", *low.items(), files=files)
    assert burn_a(files)["cycles"] == [GAP, GAP, GAP, P]  # depth is needed in full cycles now
    files = edited("burns/a.md", ("flame: 25 mm", "flame: 25 mm, seen: [mushrooming]"), files=files)
    assert burn_a(files)["cycles"] == [GAP, GAP, GAP, F]
    wall = edited("burns/a.md", ("wall: 51 degC", "wall: 81 degC"), files=files)
    assert burn_a(wall)["cycles"] == [F, GAP, GAP, F]  # the shipped limits stand beside


def test_needs_and_test_candles_of_an_own_protocol() -> None:
    """`needs` is replaced as a whole; `test_candles` decides how many must pass."""
    own = "needs: [before, after, burned, flame]\ntest_candles: 4"
    files = added("protocols/own.md", own, edited("studio.md", ("default", "own")))
    bare = [("pool: 50 mm, ", ""), ("pool: 68 mm, ", "")]
    # wall is still due (a limit on it can fail), and so is the pool once coverage is due
    assert burn_a(edited("burns/a.md", *bare, files=files))["cycles"] == [P, P, GAP, P]
    assert cedar(files)["missing"] == {"too_few_passed"}


def test_nothing_here_imports_the_package() -> None:
    """The oracle is of use only while it shares no code with what it judges."""
    package = "handbook_builder"
    for path in sorted(Path(__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            assert not [name for name in names if name.split(".")[0] == package], path
            assert not (isinstance(node, ast.Constant) and node.value == package) or (
                path.name == Path(__file__).name
            ), path
