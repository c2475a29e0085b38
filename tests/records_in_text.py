"""Small studios written as text, for tests whose input is what a maker would write."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import Studio, link

STUDIO = """---
name: Test studio
currency: EUR
units: metric
markets: [eu]
protocol: default
---
"""
SUPPLIER = """---
kind: candle_supplier
---
"""
VESSEL = """---
material: glass
supplier: jar-house
use: product
inside_diameter: 72 mm
fill: {volume: 210 mL}
heat_evidence:
  - {kind: sold_for_candles, on: 2026-01-05, by: jar-house}
opening: 70 mm
drinkware: no
porous: no
---
"""
WAX = """---
kind: soy
density: 0.90 g/mL
max_load: 10 %
cure: 14 days
---
"""
WICK = """---
series: cotton
size: "8"
step: 3
core: cotton
---
"""
OIL = """---
density: 0.98 g/mL
max_use: 9 %
certificate: {on: 2025-11-01}
safety_sheet: {on: 2025-11-01}
---
"""
RECIPE = """---
title: Fig
vessel: tumbler
wax: soy
wick: cotton-8
fragrance: {fig-oil: 8 %}
load_basis: wax
fill: 108 g
test_candles: as filed
---
"""
# Stands for the number of test candles that a test puts on file.
AS_FILED = "test_candles: as filed"
BASE: Mapping[str, str] = {
    "studio.md": STUDIO,
    "suppliers/jar-house.md": SUPPLIER,
    "vessels/tumbler.md": VESSEL,
    "waxes/soy.md": WAX,
    "wicks/cotton-8.md": WICK,
    "fragrances/fig-oil.md": OIL,
    "recipes/fig.md": RECIPE,
}
FULL_CYCLE = (
    "{on: 2026-03-%02d, burned: 4 h, before: %.1f g, after: %.1f g, pool: 70 mm, depth: 8 mm, "
    "flame: 22 mm, wall: 52 degC, after_smoke: 8 s}"
)
DAY = date(2026, 5, 1)


def burn(  # noqa: PLR0913 -- each a part of the record that some test changes
    candle: str = "A",
    *,
    made: str = "",
    cycles: list[str] | None = None,
    end: str = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: all}",
    candles: int = 3,
    more: str = "",
    wick: str = "cotton-8",
    wax: str = "100.0 g",
    oil: str = "8.0 g",
) -> str:
    """Return a test candle of the recipe `fig` that passes, unless told otherwise."""
    lines = whole_life(ord(candle[-1]) - ord("A")) if cycles is None else cycles
    burned = "".join(f"  - {one}\n" for one in lines)
    end = end.replace("cycles: all", f"cycles: {len(lines)}")
    burns_on = lines and not end and "lit:" not in more
    lit = f"lit: {len(lines)}\n" if burns_on else ""
    return (
        f"---\nrecipe: fig\nmade:\n  on: 2026-03-01\n  vessel: tumbler\n"
        f"  wax: {{soy: {wax}}}\n  fragrance: {{fig-oil: {oil}}}\n  wick: {wick}\n"
        f"  candles: {candles}\n  inside_diameter: 72 mm\n  tilt: steady\n{made}{_unless(made)}"
        + (f"cycles:\n{burned}" if lines else "cycles: []\n")
        + (f"end: {end}\n" if end else "")
        + f"candle: {candle}\nscale: 0.1 g\n{more}{lit}---\n"
    )


def _unless(made: str) -> str:
    """Return the keys of `made` that are due and that a test does not give."""
    plain = {"wicks": "1", "colorant": "none"}
    return "".join(f"  {key}: {value}\n" for key, value in plain.items() if f"{key}:" not in made)


def whole_life(heavier: int = 0) -> list[str]:
    """Return the cycles of a candle that behaves, from first light to last.

    No two candles weigh alike: each is a little heavier than the one before.
    """
    more = 0.7 * heavier
    full = [FULL_CYCLE % (16 + n, 400.0 - 26 * n + more, 374.0 - 26 * n + more) for n in range(3)]
    last = f"before: {322.0 + more:.1f} g, after: {301.0 + more:.1f} g"
    return [*full, f"{{on: 2026-03-19, burned: 3 h 10 min, {last}, flame: 15 mm}}"]


def proven() -> dict[str, str]:
    """Return a studio whose one recipe is approved on DAY."""
    return {**BASE, **{f"burns/fig-{one.lower()}.md": burn(one) for one in "ABC"}}


def linked(files: Mapping[str, str]) -> Studio:
    """Return the studio of `files`, in which every record must be read and linked.

    Whether it may pour what it poured is not asked here: `workshop.studio_from` does that.
    """
    studio, problems = link(read_texts(as_bytes(files), "records/"))
    assert studio is not None, [str(one) for one in problems]
    return studio


def as_bytes(files: Mapping[str, str]) -> dict[str, bytes]:
    """Return the files as they would stand on disk."""
    return {path: text.encode() for path, text in counted(files).items()}


def counted(files: Mapping[str, str]) -> dict[str, str]:
    """Return the files with the test candles of each recipe, and the incidents, counted."""
    burns = [text for path, text in files.items() if path.startswith("burns/")]
    incidents = sum(path.startswith("incidents/") for path in files)

    def count(path: str, text: str) -> str:
        if path == "studio.md" and incidents and "\nincidents:" not in text:
            return text.replace("protocol:", f"incidents: {incidents}\nprotocol:", 1)
        ident = path.removeprefix("recipes/").removesuffix(".md")
        found = sum(f"recipe: {ident}\n" in one for one in burns)
        return text.replace(AS_FILED, f"test_candles: {found}")

    return {path: count(path, text) for path, text in files.items()}


def write(folder: Path, files: Mapping[str, str]) -> Path:
    """Write the files under `folder` and return it."""
    for path, text in counted(files).items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, "utf-8")
    return folder
