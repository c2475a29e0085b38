"""Hand-worked cases that pin the oracle on matching, approval, incidents and lost candles."""

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from .cases import LATER, OTHER, STUDIO, Edit, added, candle, cedar, edited
from .gone import letters
from .judge import judge
from .match import load_on_wax, oil_shares

if TYPE_CHECKING:
    from .read import Record

MATCHES: list[tuple[str, str, str, bool, bool]] = [
    ("load: 0.2 points over", "wax: {soy: 183.6 g}", "{oil: 16.4 g}", True, True),
    ("load: 0.25 points over", "wax: {soy: 183.5 g}", "{oil: 16.5 g}", False, True),
    ("load: 0.4 points under", "wax: {soy: 184.8 g}", "{oil: 15.2 g}", False, True),
    ("load: 0.45 points under", "wax: {soy: 184.9 g}", "{oil: 15.1 g}", False, False),
    ("fill: 2 % over", "wax: {soy: 187.68 g}", "{oil: 16.32 g}", True, True),
    ("fill: 3 % over", "wax: {soy: 189.52 g}", "{oil: 16.48 g}", False, True),
    ("fill: 4 % under", "wax: {soy: 176.64 g}", "{oil: 15.36 g}", False, True),
    ("fill: 5 % under", "wax: {soy: 174.8 g}", "{oil: 15.2 g}", False, False),
    ("other wax beside", "wax: {soy: 183.9 g, coco: 0.1 g}", "{oil: 16 g}", False, False),
    ("no oil", "wax: {soy: 200 g}", "none", False, False),
]


@pytest.mark.parametrize(
    ("clause", "wax", "oil", "once", "twice"), MATCHES, ids=[m[0] for m in MATCHES]
)
def test_matching(clause: str, wax: str, oil: str, once: bool, twice: bool) -> None:  # noqa: FBT001
    """Good news counts within the tolerances, bad news within twice the tolerances."""
    masses = [("wax: {soy: 184 g}", wax), ("{oil: 16 g}", oil)]
    good = cedar(edited("burns/a.md", *masses, (", burned: 2 h", ", burned: 2 h")))
    assert ("a" in good["passed"]) == once, clause
    bad = cedar(edited("burns/a.md", *masses, ("flame: 31 mm", "flame: 99 mm")))
    assert bad["failed"] == (["a"] if twice else []), clause
    assert bad["status"] == ("failed" if twice else "in_test")


@pytest.mark.parametrize(
    "change",
    [("wick: c8", "wick: c9"), ("wicks: 1", "wicks: 2"), ("t: none", "t: {dye: 0.1 g}")],
)
def test_other_identities_do_not_match(change: Edit) -> None:
    """Another wick, wick count or colorant is another candle, for good news and bad."""
    told = cedar(edited("burns/a.md", change, ("flame: 31 mm", "flame: 99 mm")))
    assert (told["failed"], told["passed"], told["status"]) == ([], ["b", "c"], "in_test")


def test_wax_and_dye_shares_must_agree() -> None:
    """With several waxes and a dye each share is measured against the load tolerance."""
    files = edited(
        "recipes/cedar.md",
        ("wax: soy", "wax: {soy: 70 %, coco: 30 %}\ncolorant: {dye: 0.5 %}"),
        ("{oil: 8 %}\nload_basis: total", "none\nload_basis: wax"),
    )
    made = "wax: {soy: 139.3 g, coco: 59.7 g}, colorant: {dye: 1 g}"
    for old, new, expected in [
        ("139.3", "139.3", ["a"]),  # 70.0 % and 0.5025 %
        ("139.3 g, coco: 59.7", "138.95 g, coco: 60.05", ["a"]),  # 69.82 %
        ("139.3 g, coco: 59.7", "138.8 g, coco: 60.2", []),  # 69.75 %
        ("dye: 1 g", "dye: 1.38 g", ["a"]),  # 0.693 %
        ("dye: 1 g", "dye: 1.41 g", []),  # 0.709 %
    ]:
        masses = made.replace(old, new)
        plain = "wax: {soy: 184 g}, fragrance: {oil: 16 g}, colorant: none"
        told = cedar(edited("burns/a.md", (plain, f"fragrance: none, {masses}"), files=files))
        # two waxes: cure is that of coco, 3 weeks, so the candle is incomplete, yet it is in test
        assert told["status"] == ("in_test" if expected else "untested"), new


def test_same_candle_in_either_basis() -> None:
    """8 % of the wax and 7.407 % of the total are the same candle: r / (1 + r)."""
    on_wax: Record = {"fragrance": {"oil": "8 %"}, "load_basis": "wax"}
    assert oil_shares(on_wax)["oil"] == Fraction(8, 108)
    dyed = on_wax | {"colorant": {"dye": "2 %"}}
    assert oil_shares(dyed)["oil"] == Fraction(8, 110)
    assert load_on_wax(dyed) == Fraction(8, 100)
    of_total: Record = {
        "fragrance": {"oil": "8 %"},
        "load_basis": "total",
        "colorant": {"dye": "2 %"},
    }
    assert load_on_wax(of_total) == Fraction(8, 100) / (Fraction(92, 100) / Fraction(102, 100))


def test_two_recipes_share_the_evidence() -> None:
    """A burn is matched by what it is made of: the same combination elsewhere is approved too."""
    same = OTHER.replace(
        "{oil: 8 %}\nload_basis: total", "{oil: 8.695652173913 %}\nload_basis: wax"
    )
    products = judge(STUDIO | {"recipes/other.md": same}, LATER)["products"]
    assert products["other"] == products["cedar"]
    assert products["other"]["status"] == "approved"


def test_new_specification_loses_the_evidence() -> None:
    """A candle made before `spec_since` carries the former spec, unless `made.spec` says else."""
    files = added("waxes/soy.md", "spec: 2\nspec_since: 2026-04-01")
    assert cedar(files)["status"] == "untested"
    assert cedar(files, date(2026, 3, 31))["status"] == "approved"
    for letter in "abc":
        said = ("candles: 3", "candles: 3, spec: {waxes/soy: 2}")
        files = edited(f"burns/{letter}.md", said, files=files)
    assert cedar(files)["status"] == "approved"
    assert cedar(files, date(2026, 3, 31))["status"] == "untested"


PRODUCTS: list[tuple[str, str, list[Edit], str, str, set[str]]] = [
    (
        "too few",
        "burns/a.md",
        [("wicks: 1", "wicks: 3")],
        "",
        "in_test",
        {"too_few_passed"},
    ),
    (
        "practice vessel",
        "vessels/jar.md",
        [("product", "practice")],
        "",
        "held",
        {"vessel_practice"},
    ),
    (
        "max_use equal is allowed",
        "fragrances/oil.md",
        [],
        "flash_point: 90 degC",
        "approved",
        set(),
    ),
    ("over max_use", "fragrances/oil.md", [("8 %", "7.99 %")], "", "held", {"oil_over_max_use"}),
    (
        "max_use unknown",
        "fragrances/oil.md",
        [("max_use: 8 %\n", "")],
        "",
        "held",
        {"oil_max_use_unknown"},
    ),
    ("over max_load", "waxes/soy.md", [("10 %", "8.6 %")], "", "held", {"load_over_max_load"}),
    ("load 8.696 % on wax", "waxes/soy.md", [("10 %", "8.7 %")], "", "approved", set()),
    (
        "no certificate",
        "fragrances/oil.md",
        [("certificate: {on: 2026-01-03}\n", "")],
        "",
        "held",
        {"certificate_missing"},
    ),
    (
        "late certificate",
        "fragrances/oil.md",
        [("2026-01-03", "2026-06-02")],
        "",
        "held",
        {"certificate_missing"},
    ),
    (
        "late safety sheet",
        "fragrances/oil.md",
        [("2026-01-04", "2026-06-02")],
        "",
        "held",
        {"safety_sheet_missing"},
    ),
    ("metal core", "wicks/c8.md", [("cotton", "zinc")], "", "held", {"lead_free_missing"}),
    (
        "metal core with the word",
        "wicks/c8.md",
        [("cotton", "tin")],
        "lead_free: {on: 2026-01-01, by: x}",
        "approved",
        set(),
    ),
    ("hemp is no metal", "wicks/c8.md", [("cotton", "hemp")], "", "approved", set()),
    ("retired", "recipes/cedar.md", [], "retired: 2026-06-01", "retired", {"retired"}),
    ("retired later", "recipes/cedar.md", [], "retired: 2026-06-02", "approved", set()),
    (
        "poured together: one more said",
        "burns/a.md",
        [("candles: 3", "candles: 4")],
        "",
        "held",
        {"missing_candle"},
    ),
    (
        "letters have a gap",
        "burns/c.md",
        [("candle: C", "candle: D")],
        "",
        "held",
        {"missing_candle"},
    ),
    ("letters twice", "burns/c.md", [("candle: C", "candle: B")], "", "held", {"missing_candle"}),
    (
        "stated count wrong",
        "recipes/cedar.md",
        [("test_candles: 3", "test_candles: 4")],
        "",
        "held",
        {"missing_candle"},
    ),
    (
        "count unsaid",
        "recipes/cedar.md",
        [("test_candles: 3\n", "")],
        "",
        "held",
        {"missing_candle"},
    ),
    (
        "one fails",
        "burns/b.md",
        [("sound, tilt: steady", "sound, tilt: fell")],
        "",
        "failed",
        {"candle_failed", "too_few_passed"},
    ),
]


@pytest.mark.parametrize(
    ("clause", "path", "edits", "lines", "status", "missing"),
    PRODUCTS,
    ids=[p[0] for p in PRODUCTS],
)
def test_approval(  # noqa: PLR0913, PLR0917
    clause: str, path: str, edits: list[Edit], lines: str, status: str, missing: set[str]
) -> None:
    """Each clause of approval is named when it does not hold, and it alone."""
    files = edited(path, *edits)
    told = cedar(added(path, lines, files) if lines else files)
    assert (told["status"], told["missing"]) == (status, missing), clause


def test_one_failure_outweighs_enough_passes() -> None:
    """However many passed, one failed candle is a fail for the combination."""
    files = {path: text.replace("candles: 3", "candles: 4") for path, text in STUDIO.items()}
    fourth = candle("D").replace("candles: 3", "candles: 4").replace("sound", "cracked")
    told = cedar(files | {"burns/d.md": fourth})
    assert (told["status"], told["missing"]) == ("failed", {"candle_failed"})
    assert (told["passed"], told["failed"]) == (["a", "b", "c"], ["d"])


def test_max_load_of_two_waxes_is_their_weighted_mean() -> None:
    """With several waxes `max_load` is the share-weighted mean: 0.5 x 10 % + 0.5 x 6 % = 8 %."""
    for load, over in [("8 %", False), ("8.01 %", True)]:
        wax = ("wax: soy", "wax: {soy: 50 %, coco: 50 %}")
        files = edited(
            "recipes/cedar.md", wax, ("{oil: 8 %}", f"{{oil: {load}}}"), ("total", "wax")
        )
        assert ("load_over_max_load" in cedar(files)["missing"]) == over


INCIDENTS = [
    ("recipes/cedar", "", "suspended"),
    ("recipes/other", "", "suspended"),  # the same combination: the same candle
    ("batches/b1", "", "suspended"),
    ("batches/b2", "", "suspended"),
    ("vessels/jar", "", "suspended"),
    ("waxes/soy", "", "suspended"),
    ("waxes/soy", "lot: W-1", "approved"),
    ("waxes/coco", "", "approved"),
    ("wicks/c8", "", "suspended"),
    ("fragrances/oil", "", "suspended"),
    ("packaging/lid", "", "suspended"),
    ("recipes/cedar", "closed: {on: 2026-06-01, finding: none}", "approved"),
    ("recipes/cedar", "closed: {on: 2026-06-02, finding: none}", "suspended"),
]


@pytest.mark.parametrize(("about", "lines", "status"), INCIDENTS)
def test_incidents(about: str, lines: str, status: str) -> None:
    """Open incidents suspend what they touch: recipe, batch's recipe, items without a lot."""
    batch = "on: 2026-05-01\nmade: 12\nby: x\nlots: {waxes/soy: W-1}\n"
    files = STUDIO | {
        "recipes/cedar.md": STUDIO["recipes/cedar.md"].replace(
            "title", "packaging: {lid: 1}\ntitle"
        ),
        "recipes/other.md": OTHER,
        "batches/b1.md": f"---\nrecipe: cedar\n{batch}---\n",
        "batches/b2.md": f"---\nrecipe: other\n{batch}---\n",
        "incidents/i1.md": "---\nnumber: 1\non: 2026-05-02\nwhat: it sooted\n"
        f"about: {about}\n{lines}\n---\n",
    }
    assert cedar(files)["status"] == status
    assert cedar(files, date(2026, 5, 1))["status"] == "approved"  # not yet reported


def test_status_order() -> None:
    """Retired before suspended before failed; all that is missing is listed all the same."""
    files = edited("burns/b.md", ("sound, tilt: steady", "sound, tilt: fell"))
    incident = "number: 1\non: 2026-05-02\nabout: wicks/c8\nwhat: it sooted"
    files = added("incidents/i1.md", incident, files)
    assert cedar(files)["status"] == "suspended"
    told = cedar(added("recipes/cedar.md", "retired: 2026-05-03", files))
    assert told["status"] == "retired"
    assert told["missing"] == {"retired", "open_incident", "candle_failed", "too_few_passed"}


def test_missing_candle_reaches_recipes_it_spoke_for() -> None:
    """Where a recipe has lost a candle, others its candles speak for are not approved either."""
    files = STUDIO | {"recipes/other.md": OTHER, "recipes/far.md": OTHER.replace("8 %", "6 %")}
    files["burns/c.md"] = STUDIO["burns/c.md"].replace("candle: C", "candle: D")
    products = judge(files, LATER)["products"]
    assert products["other"]["missing"] == {"missing_candle"}
    assert products["far"]["missing"] == {"too_few_passed"}


def test_groups_are_by_pouring_day() -> None:
    """Letters run over the recipe's life, the number poured together is each day's own."""
    files = STUDIO | {
        "burns/c.md": STUDIO["burns/c.md"].replace("made: {on: 2026-03-01", "made: {on: 2026-02-01")
    }
    assert "missing_candle" in cedar(files)["missing"]
    for letter, count in (("a", 2), ("b", 2), ("c", 1)):
        files = edited(f"burns/{letter}.md", ("candles: 3", f"candles: {count}"), files=files)
    assert cedar(files)["missing"] == set()
    # letters are of everything on file: as of a day before A and B were poured, none is missing
    assert "missing_candle" not in cedar(files, date(2026, 2, 10))["missing"]


def test_stated_count_holds_on_every_day() -> None:
    """`test_candles` of a recipe is of everything on file, whatever the day."""
    files = edited("recipes/cedar.md", ("test_candles: 3", "test_candles: 9"))
    assert "missing_candle" in cedar(files, date(2026, 2, 28))["missing"]
    assert "missing_candle" in cedar(files, date(2026, 3, 1))["missing"]


def test_letters_after_z() -> None:
    """A, B, ... Z, AA, AB."""
    assert letters(28) - letters(25) == {"Z", "AA", "AB"}
