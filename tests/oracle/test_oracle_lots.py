"""Hand-worked cases that pin the oracle on pouring days, lots and records that were cut."""

from datetime import date

import pytest

from .cases import LATER, OTHER, STUDIO, added, cedar, edited
from .judge import judge


def _pourings(count: int, *burned: str) -> dict[str, str]:
    """Return a studio that asks for so many pouring days, with candles poured on those days."""
    files = added("protocols/own.md", f"pourings: {count}", edited("studio.md", ("default", "own")))
    for letter, day in zip("abc", burned, strict=True):
        edit = ("on: 2026-03-01, vessel: jar", f"on: {day}, vessel: jar")
        together = ("candles: 3", f"candles: {burned.count(day)}")
        files = edited(f"burns/{letter}.md", edit, together, files=files)
    return files


def test_pouring_days() -> None:
    """A protocol may ask that the candles that passed come from several pouring days."""
    one, two = "2026-03-01", "2026-02-20"
    assert cedar(_pourings(2, one, one, one))["missing"] == {"too_few_pourings"}
    assert cedar(_pourings(2, one, one, one))["status"] == "held"
    assert cedar(_pourings(2, one, one, two))["status"] == "approved"
    assert cedar(_pourings(3, one, one, two))["missing"] == {"too_few_pourings"}
    assert cedar(_pourings(3, one, "2026-02-28", two))["status"] == "approved"
    # asked only when enough passed
    files = edited(
        "burns/a.md", ("wall: 52 degC", "unread: [wall]"), files=_pourings(3, one, one, one)
    )
    assert cedar(files)["missing"] == {"too_few_passed"}


def _bill(on: str, lot: str, item: str = "waxes/soy") -> str:
    line = f"{{item: {item}, quantity: 10 kg, price: 60.00, lot: {lot}}}"
    return f"---\nsupplier: shop\non: {on}\nlines: [{line}]\n---\n"


RECALL = "number: 1\non: 2026-05-02\nabout: waxes/soy\nlot: W-1\nwhat: it smells of fuel"
LOTS: list[tuple[str, dict[str, str], str, str]] = [
    ("from the lot", {"a": "waxes/soy: W-1", "b": "waxes/soy: W-2", "c": "waxes/soy: W-2"},
     "2026-01-01", "suspended"),
    ("all from another", dict.fromkeys("abc", "waxes/soy: W-2"), "2026-01-01", "approved"),
    ("no lot named, bought before", {}, "2026-03-01", "suspended"),
    ("no lot named, billed 30 days later", {}, "2026-03-31", "suspended"),
    ("no lot named, billed 31 days later", {}, "2026-04-01", "approved"),
    ("a lot of something else named", dict.fromkeys("abc", "fragrances/oil: W-1"), "2026-01-01",
     "suspended"),
    ("one of three does not say", {"a": "waxes/soy: W-2", "b": "waxes/soy: W-2"}, "2026-01-01",
     "suspended"),
]  # fmt: skip


@pytest.mark.parametrize(("clause", "lots", "bought", "status"), LOTS, ids=[c[0] for c in LOTS])
def test_lots_of_the_proof(clause: str, lots: dict[str, str], bought: str, status: str) -> None:
    """An open incident about a lot suspends what was proven with candles from it."""
    files = STUDIO | {
        "purchases/one.md": _bill(bought, "W-1"),
        "purchases/two.md": _bill("2026-01-02", "W-2"),
    }
    for letter, lot in lots.items():
        files = added(f"burns/{letter}.md", f"lots: {{{lot}}}", files)
    files = added("incidents/i1.md", RECALL, files)
    told = cedar(files)
    suspended = {"proof_lot_suspended"} if status == "suspended" else set()
    assert (told["status"], told["missing"]) == (status, suspended), clause
    assert cedar(files, date(2026, 5, 1))["status"] == "approved"  # not yet reported
    shut = added("incidents/i1.md", "closed: {on: 2026-06-01, finding: none}", files)
    assert cedar(shut)["status"] == "approved"


def test_lots_of_candles_that_prove_nothing() -> None:
    """Only passed candles of the evidence matter, and items that a candle holds or names."""
    files = STUDIO | {"purchases/one.md": _bill("2026-04-01", "W-1")}
    files = added("burns/a.md", "lots: {waxes/soy: W-1}", files)
    files = added("incidents/i1.md", RECALL, files)
    assert cedar(files)["status"] == "suspended"
    void = ("room: 21", "void: {why: draught, by: ash, on: 2026-05-01}\nroom: 21")
    assert cedar(edited("burns/a.md", void, files=files))["missing"] == {"too_few_passed"}
    # packaging is no make-up of a test candle, unless its lots name it
    lid = STUDIO | {"purchases/one.md": _bill("2026-01-01", "L-1", "packaging/lid")}
    about = RECALL.replace("waxes/soy", "packaging/lid").replace("W-1", "L-1")
    lid = added("incidents/i1.md", about, lid)
    assert cedar(lid)["status"] == "approved"
    assert cedar(added("burns/a.md", "lots: {packaging/lid: L-1}", lid))["status"] == "suspended"


VOID = "void: {why: draught, by: ash, on: 2026-05-01}"


def test_a_record_that_was_cut_holds_its_recipe() -> None:
    """A candle known to have had more cycles than are on file holds everything of its recipe."""
    for said, missing in [("cycles: 4", set()), ("cycles: 5", {"missing_candle"})]:
        fourth = STUDIO["burns/a.md"].replace("candle: A", "candle: D")
        files = {
            path: text.replace("candles: 3", "candles: 4") for path, text in STUDIO.items()
        } | {"burns/d.md": fourth.replace("candles: 3", "candles: 4").replace("cycles: 4", said)}
        files = edited("burns/d.md", (" g, after: 315", ".5 g, after: 315"), files=files)
        files = {p: t.replace("test_candles: 3", "test_candles: 4") for p, t in files.items()}
        for n, other in ((500, 510), (448, 458), (396, 406)):  # readings of its own
            files["burns/d.md"] = files["burns/d.md"].replace(f": {n} g", f": {other} g")
        told = cedar(files)
        assert told["missing"] == missing, said
        # void or not, from the day on that it is seen
        assert cedar(added("burns/d.md", VOID, files))["missing"] == missing
        assert "missing_candle" not in cedar(files, date(2026, 2, 28))["missing"]
        assert ("missing_candle" in cedar(files, date(2026, 3, 1))["missing"]) == bool(missing)


def test_what_is_missing_of_one_recipe_holds_its_twin() -> None:
    """A count that is not said holds the other recipes of the same candle too."""
    files = STUDIO | {"recipes/other.md": OTHER}
    assert cedar(files)["status"] == "approved"
    files = edited("recipes/cedar.md", ("test_candles: 3\n", ""), files=files)
    told = judge(files, LATER)["products"]
    assert [told[one]["missing"] for one in ("cedar", "other")] == [{"missing_candle"}] * 2
    # a recipe without burns need not say a count
    bare = STUDIO | {"recipes/other.md": OTHER.replace("test_candles: 0\n", "")}
    assert cedar(bare)["status"] == "approved"
