"""A new recipe from `new` through twelve logged cycles on three candles to approved."""

import json
from pathlib import Path

from tests.endtoend.conftest import Run

DAY = ("--as-of", "2026-05-01")
# What a new user reads off the shelf, the papers and the scale.
SHELF = {
    ("supplier", "jar-house"): {"kind": "candle_supplier"},
    ("wax", "soy"): {"kind": "soy", "density": "0.90 g/mL", "max_load": "10 %", "cure": "14 days"},
    ("wick", "cotton-8"): {"series": "cotton", "size": "8", "step": "3", "core": "cotton"},
    ("fragrance", "fig-oil"): {
        "density": "0.98 g/mL",
        "max_use": "9 %",
        "certificate": "{on: 2025-11-01}",
        "safety_sheet": "{on: 2025-11-01}",
    },
    ("vessel", "tumbler"): {
        "material": "glass",
        "supplier": "jar-house",
        "use": "product",
        "inside_diameter": "72 mm",
        "fill": "{volume: 120 mL}",
        "opening": "70 mm",
        "porous": "no",
        "drinkware": "no",
        "heat_evidence": "[{kind: sold_for_candles, on: 2026-01-05, by: jar-house}]",
    },
    ("recipe", "fig"): {
        "title": "Fig & friends: the first",
        "vessel": "tumbler",
        "wax": "soy",
        "wick": "cotton-8",
        "fragrance": "{fig-oil: 8 %}",
        "load_basis": "wax",
        "fill": "108 g",
        "test_candles": "0",
    },
}
FULL = ("--burned", "4 h", "--pool", "70 mm", "--flame", "22 mm", "--wall", "52 degC")
STOOD = ("--tilt-new", "steady")


def _done(handbook: Run, studio: Path, *words: str) -> str:
    told = handbook(*words, folder=studio)
    assert (told.returncode, told.stderr) == (0, ""), (words, told.stdout, told.stderr)
    return told.stdout


def _product(handbook: Run, studio: Path) -> dict[str, object]:
    product: dict[str, object] = json.loads(_done(handbook, studio, "figures", "--json", *DAY))[
        "products"
    ]["fig"]
    return product


def _shelf(handbook: Run, studio: Path) -> None:
    for (kind, ident), values in SHELF.items():
        settings = [word for key, value in values.items() for word in ("--set", f"{key}={value}")]
        told = _done(handbook, studio, "new", kind, ident, *settings)
        assert "Nothing is left blank." in told


def _burned(handbook: Run, studio: Path, letter: str, first_g: float) -> list[str]:
    """Log a candle's four cycles and its end; return what was said."""
    said = []
    for at in range(3):
        before = first_g - 26 * at
        masses = ("--before", f"{before:.1f} g", "--after", f"{before - 26:.1f} g")
        on = ("--on", f"2026-03-{16 + at}", "--after-smoke", "8 s", "--check", "1 h=41 mm")
        stood = () if at else STOOD
        words = (*on, *FULL, *masses, *stood, *DAY)
        said.append(_done(handbook, studio, "log", f"fig-{letter}", *words))
        assert f"\nlit: {at + 1}  " in _record(studio, letter)
    masses = ("--before", f"{first_g - 78:.1f} g", "--after", f"{first_g - 99:.1f} g")
    last = ("--on", "2026-03-19", "--burned", "3 h 10 min", "--flame", "15 mm", *masses)
    ending = ("--end", "went_out", "--left", "4 g", "--vessel-state", "sound", "--tilt", "steady")
    said.append(_done(handbook, studio, "log", f"fig-{letter}", *last, *ending, *DAY))
    return said


def _record(studio: Path, letter: str) -> str:
    return (studio / "records" / "burns" / f"fig-{letter}.md").read_text("utf-8")


def _asks_how_it_stood(handbook: Run, studio: Path) -> None:
    """No first cycle goes on file before it is said how the new candle stood on the slope."""
    before = _record(studio, "a")
    assert "tilt: " not in before
    assert "\nlit: 0  " in before
    words = ("--on", "2026-03-16", *FULL, "--before", "400 g", "--after", "374 g")
    told = handbook("log", "fig-a", *words, *DAY, folder=studio)
    assert told.returncode == 2
    assert "before its first light is not on file. Add --tilt-new steady" in told.stderr
    assert _record(studio, "a") == before


def test_from_new_to_approved(handbook: Run, tmp_path: Path) -> None:
    """The commands alone, and no editor. The status follows each step."""
    studio = tmp_path / "studio"
    assert handbook("start", str(studio)).returncode == 0
    _shelf(handbook, studio)
    assert "No fault found. Recipes: 1, vessels: 1, test candles: 0." in _done(
        handbook, studio, "check"
    )
    assert _product(handbook, studio)["status"] == "untested"

    poured = ("new", "burn", "fig", "--candles", "3", "--on", "2026-03-01")
    weighed = ("soy=100.1 g, fig-oil=8.0 g", "soy=99.9 g, fig-oil=8.0 g", "soy=100 g, fig-oil=8 g")
    words = [word for one in weighed for word in ("--weighed", one)]
    told = _done(handbook, studio, *poured, "--set", "scale=0.1 g", *words)
    assert "test_candles raised from 0 to 3." in told
    assert "Nothing is left blank." in told
    _asks_how_it_stood(handbook, studio)
    again = handbook("new", "recipe", "fig", folder=studio)
    assert again.returncode == 2
    assert _product(handbook, studio)["status"] == "in_test"

    cycles = 0
    for letter, first_g in (("a", 400.0), ("b", 401.3), ("c", 398.8)):
        assert _product(handbook, studio)["status"] == "in_test"
        said = _burned(handbook, studio, letter, first_g)
        assert all(f"of candle {letter.upper()} (fig): Passed." in one for one in said)
        assert "The candle: Burning." in said[2]
        assert "The candle: Passed." in said[3]
        assert "\n  tilt: steady\n" in _record(studio, letter)
        cycles += len(said)
    assert cycles == 12

    product = _product(handbook, studio)
    assert (product["status"], product["missing"]) == ("approved", [])
    assert product["passed"] == ["fig-a", "fig-b", "fig-c"]
    assert "Approved" in _done(handbook, studio, "why", "fig", *DAY)
    _done(handbook, studio, "build", *DAY)
    index = (studio / "site" / "approved" / "index.html").read_text("utf-8")
    assert "products/fig.html" in index
    ended = handbook("log", "fig-a", "--on", "2026-03-20", *DAY, folder=studio)
    assert ended.returncode == 2
    assert "has come to its end already" in ended.stderr


def test_blanks_are_filled_with_an_editor(handbook: Run, tmp_path: Path) -> None:
    """The other way: the commands write blanks, nothing is published, an editor fills them in."""
    studio = tmp_path / "studio"
    handbook("start", str(studio))
    _shelf(handbook, studio)
    _done(handbook, studio, "new", "burn", "fig", "--on", "2026-03-01")
    checked = handbook("check", folder=studio)
    assert checked.returncode == 1
    assert "records/burns/fig-a.md:13:9: found nothing after 'soy:'" in checked.stderr
    assert handbook("log", "fig-a", "--on", "2026-03-16", *DAY, folder=studio).returncode == 1
    record = studio / "records" / "burns" / "fig-a.md"
    text = record.read_text("utf-8")
    for key, value in (("soy", "100.0 g"), ("fig-oil", "8.0 g"), ("scale", "0.1 g")):
        assert f"{key}:  " in text
        text = text.replace(f"{key}:  ", f"{key}: {value}  ")
    record.write_text(text, "utf-8")
    _done(handbook, studio, "check")
    masses = ("--before", "400 g", "--after", "374 g")
    words = ("--on", "2026-03-16", *FULL, *masses, "--after-smoke", "8 s", *STOOD)
    assert "Cycle 1 of candle A (fig): Passed." in _done(
        handbook, studio, "log", "fig-a", *words, *DAY
    )
