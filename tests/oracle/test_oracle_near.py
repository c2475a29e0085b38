"""Hand-worked cases that pin the oracle on traces, and on near twins of a recipe."""

from datetime import date

import pytest

from .cases import LATER, OTHER, STUDIO, Edit, added, candle, cedar, edited
from .judge import judge

FAIL = ("flame: 31 mm", "flame: 99 mm")
# a recipe of 0.1 % dye on the wax: half of it is less than the 0.2 points of the load tolerance
TRACES = [
    ("as said", "0.184 g", True, True),
    ("half of it", "0.092 g", True, True),
    ("less than half", "0.0919 g", False, True),
    ("half as much again", "0.276 g", True, True),
    ("more than that", "0.2761 g", False, True),
    ("twice as much", "0.368 g", False, True),
    ("more than twice", "0.3681 g", False, False),
]


@pytest.mark.parametrize(
    ("clause", "dye", "once", "twice"), TRACES, ids=[trace[0] for trace in TRACES]
)
def test_a_trace_of_dye(clause: str, dye: str, *, once: bool, twice: bool) -> None:
    """A share may be off by half of the recipe's own at most; twice that for a failure."""
    recipe = ("load_basis", "colorant: {dye: 0.1 %}\nload_basis")
    files = edited("recipes/cedar.md", recipe)
    weighed = ("colorant: none", f"colorant: {{dye: {dye}}}")
    files = edited("burns/a.md", weighed, files=files)
    assert (cedar(files)["passed"] == ["a"]) == once, clause
    assert (cedar(edited("burns/a.md", FAIL, files=files))["failed"] == ["a"]) == twice, clause


OILS = [("0.4 g", True), ("0.2 g", True), ("0.199 g", False), ("0.6 g", True), ("0.601 g", False)]


@pytest.mark.parametrize(("grams", "holds"), OILS)
def test_a_trace_of_oil(grams: str, *, holds: bool) -> None:
    """Of 0.2 % of an oil in 200 g, half is 0.2 g; the load tolerance alone would be 0.4 g."""
    files = edited("recipes/cedar.md", ("{oil: 8 %}", "{oil: 7.8 %, rose: 0.2 %}"))
    files = added("fragrances/rose.md", "density: 1.0 g/mL\nmax_use: 8 %", files)
    wax = f"{200 - 15.6 - float(grams[:-2]):.3f} g"
    weighed = [("184 g", wax), ("{oil: 16 g}", f"{{oil: 15.6 g, rose: {grams}}}")]
    assert (cedar(edited("burns/a.md", *weighed, files=files))["passed"] == ["a"]) == holds


WAXES = [("199.2 g", "0.8 g", True), ("199.21 g", "0.79 g", True), ("199.4 g", "0.6 g", True),
         ("199.41 g", "0.59 g", False)]  # fmt: skip


@pytest.mark.parametrize(("soy", "coco", "holds"), WAXES)
def test_a_trace_of_wax(soy: str, coco: str, *, holds: bool) -> None:
    """Of 0.5 % of a wax half is 0.25 points, more than the load tolerance: 0.2 points hold."""
    files = edited("recipes/cedar.md", ("wax: soy", "wax: {soy: 99.5 %, coco: 0.5 %}"),
                   ("{oil: 8 %}", "none"))  # fmt: skip
    weighed = [("soy: 184 g", f"soy: {soy}, coco: {coco}"), ("{oil: 16 g}", "none")]
    told = cedar(edited("burns/a.md", *weighed, files=files))
    assert ("a" in told["incomplete"]) == holds  # the cure of coco is longer


def test_a_trace_keeps_two_recipes_apart() -> None:
    """Two recipes that differ by more than half of a trace are not one candle."""
    for dye, missing in [("0.15 %", "missing_candle"), ("0.21 %", "")]:
        recipe = OTHER.replace("load_basis", f"colorant: {{dye: {dye}}}\nload_basis")
        files = edited("recipes/cedar.md", ("load_basis", "colorant: {dye: 0.1 %}\nload_basis"))
        files |= {"recipes/other.md": recipe.replace("test_candles: 0", "test_candles: 1")}
        told = cedar(files)["missing"]
        assert ("missing_candle" in told) == bool(missing), dye


ABOUT = "number: 1\non: 2026-05-02\nwhat: it sooted\nabout: "
# the oil of the near recipe, and what of cedar's candles is its: 8.2 % is within 0.2 points of both
TWINS: list[tuple[str, str, list[Edit], str, str]] = [
    ("alike", "8.2 %", [], "recipes/other", "suspended"),
    ("not alike, none between", "8.4 %", [], "recipes/other", "approved"),
    ("not alike, one between", "8.4 %", [("184 g", "183.6 g"), ("16 g", "16.4 g")],
     "recipes/other", "suspended"),
    ("not alike, nearly between", "8.41 %", [("184 g", "183.6 g"), ("16 g", "16.4 g")],
     "recipes/other", "approved"),
    ("a batch of it, one between", "8.4 %", [("184 g", "183.6 g"), ("16 g", "16.4 g")],
     "batches/b1", "suspended"),
    ("a batch of it, none between", "8.4 %", [], "batches/b1", "approved"),
    ("of another wick", "8.2 %\nwick: c9", [], "recipes/other", "approved"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("clause", "oil", "edits", "about", "status"), TWINS, ids=[twin[0] for twin in TWINS]
)
def test_near_twins(clause: str, oil: str, edits: list[Edit], about: str, status: str) -> None:
    """An incident about a recipe reaches what was proven by a candle within its tolerances."""
    share, _, wick = oil.partition("\n")
    recipe = OTHER.replace("8 %", share)
    files = STUDIO | {"recipes/other.md": recipe.replace("wick: c8", wick) if wick else recipe}
    batch = "recipe: other\non: 2026-05-01\nmade: 12\nby: x\nlots: {waxes/soy: W-1}"
    files = added("batches/b1.md", batch, files)
    files = edited("burns/a.md", *edits, files=files) if edits else files
    assert cedar(files)["status"] == "approved"
    files = added("incidents/i1.md", f"{ABOUT}{about}", files)
    told = cedar(files)
    missing = {"open_incident"} if status == "suspended" else set()
    assert (told["status"], told["missing"]) == (status, missing), clause
    assert cedar(files, date(2026, 5, 1))["status"] == "approved"
    closed = "closed: {on: 2026-05-20, finding: none}"
    assert cedar(added("incidents/i1.md", closed, files))["status"] == "approved"


def test_a_candle_that_is_filed_under_another_recipe() -> None:
    """An incident about the recipe that a passed candle names reaches what it proves."""
    far = OTHER.replace("wick: c8", "wick: c9").replace("test_candles: 0", "test_candles: 1")
    files = edited("recipes/cedar.md", ("test_candles: 3", "test_candles: 2"))
    files = {p: t.replace("candles: 3", "candles: 2") for p, t in files.items()}
    away = candle("C").replace("recipe: cedar\ncandle: C", "recipe: far\ncandle: A")
    files |= {"recipes/far.md": far, "burns/c.md": away.replace("candles: 3", "candles: 1")}
    assert cedar(files)["status"] == "approved"
    files = added("incidents/i1.md", f"{ABOUT}recipes/far", files)
    assert cedar(files)["missing"] == {"open_incident"}
    # only what has passed speaks: a candle set aside reaches nothing
    void = "void: {why: draught, by: ash, on: 2026-05-01}"
    assert cedar(added("burns/c.md", void, files))["missing"] == {"too_few_passed"}


def test_an_incident_about_the_product_reaches_no_further() -> None:
    """The near recipe itself has no passed candle, and is not suspended by the product's."""
    files = STUDIO | {"recipes/other.md": OTHER.replace("8 %", "7.6 %")}
    files = added("incidents/i1.md", f"{ABOUT}recipes/cedar", files)
    products = judge(files, LATER)["products"]
    assert products["cedar"]["missing"] == {"open_incident"}
    assert products["other"]["missing"] == {"too_few_passed"}
