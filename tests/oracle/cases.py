"""A studio of one recipe, approved as it stands, for the hand-worked cases to change."""

import re
from datetime import date
from typing import Any

from .judge import judge

LATER = date(2026, 6, 1)
Edit = tuple[str, str]

BURN = """---
recipe: cedar
candle: A
made: {on: 2026-03-01, vessel: jar, wax: {soy: 184 g}, fragrance: {oil: 16 g}, colorant: none,
  wick: c8, wicks: 1, candles: 3, inside_diameter: 70 mm, tilt: steady}
scale: 0.1 g
room: 21 degC
cycles:
  - {on: 2026-03-15, burned: 4 h, before: 500 g, after: 448 g, pool: 50 mm, flame: 31 mm,
     wall: 51 degC, after_smoke: 5 s}
  - {on: 2026-03-16, burned: 240 min, before: 448 g, after: 396 g, pool: 60 mm, flame: 32 mm,
     wall: 52 degC, after_smoke: 6 s}
  - {on: 2026-03-17, burned: 4.0 h, before: 396 g, after: 344 g, pool: 68 mm, flame: 33 mm,
     wall: 53 degC, after_smoke: 7 s}
  - {on: 2026-03-18, burned: 2 h, before: 344 g, after: 315 g, flame: 25 mm}
end: {how: went_out, left: 10 g, vessel: sound, tilt: steady, cycles: 4}
---
"""


def candle(letter: str) -> str:
    """Return a clean candle of the recipe with readings of its own: A, B a gram heavier, ..."""
    more = ord(letter) - ord("A")
    text = BURN.replace("candle: A", f"candle: {letter}")
    return re.sub(r"(before|after): (\d+) g", lambda m: f"{m[1]}: {int(m[2]) + more} g", text)


STUDIO = {
    "studio.md": "---\nname: S\ncurrency: EUR\nunits: metric\nmarkets: [eu]\n"
    "protocol: default\n---\n",
    "suppliers/shop.md": "---\nkind: candle_supplier\n---\n",
    "suppliers/corner.md": "---\nkind: general\n---\n",
    "vessels/jar.md": """---
material: glass
supplier: shop
use: product
inside_diameter: 70 mm
opening: 70 mm
porous: no
drinkware: no
fill: {volume: 230 mL}
heat_evidence: [{kind: sold_for_candles, on: 2026-01-02, by: shop}]
---
""",
    "waxes/soy.md": "---\nkind: soy\ndensity: 0.9 g/mL\nmax_load: 10 %\ncure: 14 days\n---\n",
    "waxes/coco.md": "---\nkind: coconut\ndensity: 0.92 g/mL\nmax_load: 6 %\ncure: 3 weeks\n---\n",
    "wicks/c8.md": "---\nseries: c\nsize: 8\nstep: 1\ncore: cotton\n---\n",
    "wicks/c9.md": "---\nseries: c\nsize: 9\nstep: 2\ncore: cotton\n---\n",
    "fragrances/oil.md": "---\ndensity: 1.0 g/mL\nmax_use: 8 %\ncertificate: {on: 2026-01-03}\n"
    "safety_sheet: {on: 2026-01-04}\n---\n",
    "colorants/dye.md": "---\nform: chips\n---\n",
    "packaging/lid.md": "---\nform: lid\n---\n",
    "recipes/cedar.md": """---
title: Cedar
vessel: jar
wax: soy
wick: c8
fragrance: {oil: 8 %}
load_basis: total
fill: 200 g
test_candles: 3
---
""",
    **{f"burns/{letter.lower()}.md": candle(letter) for letter in "ABC"},
}
OTHER = (
    STUDIO["recipes/cedar.md"]
    .replace("title: Cedar", "title: Other")
    .replace("test_candles: 3", "test_candles: 0")
)


def edited(path: str, *edits: Edit, files: dict[str, str] | None = None) -> dict[str, str]:
    """Return the studio with texts replaced in one record; each must stand there once."""
    whole = dict(STUDIO if files is None else files)
    for old, new in edits:
        assert whole[path].count(old) == 1, (path, old)
        whole[path] = whole[path].replace(old, new)
    return whole


def added(path: str, lines: str, files: dict[str, str] | None = None) -> dict[str, str]:
    """Return the studio with lines added to the front matter of a record, or a new record."""
    whole = dict(STUDIO if files is None else files)
    front = whole.get(path, "---\n---\n")
    whole[path] = front.removesuffix("---\n") + lines + "\n---\n"
    return whole


def cedar(files: dict[str, str], day: date = LATER) -> dict[str, Any]:
    """Return the verdict on the one recipe."""
    told: dict[str, Any] = judge(files, day)["products"]["cedar"]
    return told


def burn_a(files: dict[str, str], day: date = LATER) -> dict[str, Any]:
    """Return the verdict on candle A."""
    told: dict[str, Any] = judge(files, day)["burns"]["a"]
    return told
