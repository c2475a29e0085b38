# ruff: noqa: E501 -- tables and records as people write them, a row a line
"""Three more tables, made by somebody who had not seen the words of the program.

An order book with headers shortened as in shops, pieces called "ea" and a row of sums; a German
sheet with a numbered column for each reading of each burn; a log in which the candle is the recipe,
hours stand as 4:05, and a weight begins with its point.
"""

from datetime import date
from typing import Final

from tests.bringing.files import ods, xlsx
from tests.bringing.kept import Kept

ORDERS: Final = Kept(
    "orders.xlsx",
    "purchases",
    xlsx(
        [
            ["Supply orders"],
            [
                "Order #",
                "Order Date",
                "Vendor",
                "Item",
                "Qty",
                "Unit",
                "Total (€)",
                "Lot #",
                "S&H (€)",
            ],
            ["1001", date(2026, 1, 10), "Jar House", "Soy", 10, "lb", 42.5, "W-1", 12.95],
            ["1001", date(2026, 1, 10), "Jar House", "Fig Oil", 16, "oz", 31.0, "F-1", None],
            ["1001", date(2026, 1, 10), "Jar House", "Cotton 8", 100, "ea", 9.0, None, None],
            ["1002", date(2026, 2, 3), "Jar House", "Tumbler", 24, "ea", 48.0, "V-2", 8.0],
            [None, None, None, None, None, "Total", 130.5, None, None],
        ]
    ),
    {},
    {
        "purchases/2026-01-10-jar-house.md": """---
supplier: jar-house
on: 2026-01-10
lines:
  - {item: waxes/soy, quantity: 10 lb, price: 42.5, lot: W-1}
  - {item: fragrances/fig-oil, quantity: 16 oz, price: 31, lot: F-1}
  - {item: wicks/cotton-8, quantity: 100 pcs, price: 9}
freight: 12.95
---
""",
        "purchases/2026-02-03-jar-house.md": """---
supplier: jar-house
on: 2026-02-03
lines:
  - {item: vessels/tumbler, quantity: 24 pcs, price: 48, lot: V-2}
freight: 8
---
""",
    },
)


def _burn(letter: str, heavier: float) -> str:
    """Return a candle of the German sheet as somebody would have typed it."""
    cycles = "".join(
        f"  - {{on: 2026-03-{16 + at}, burned: 4.0 h, before: {400 - 26 * at + heavier:.1f} g, "
        f"after: {374 - 26 * at + heavier:.1f} g, pool: 70 mm, flame: 22 mm, wall: 52 degC}}\n"
        for at in range(3)
    )
    return f"""---
recipe: fig
candle: {letter}
made:
  on: 2026-03-01
  vessel: tumbler
  wax: {{soy: 100.0 g}}
  fragrance: {{fig-oil: 8.0 g}}
  colorant: none
  wick: cotton-8
  wicks: 1
  candles: 2
  inside_diameter: 72 mm
scale: 0.1 g
lit: 3
cycles:
{cycles}---
"""


def _german() -> list[list[str]]:
    """Return a row a candle, its numbers with commas, a column for each reading of each burn."""
    head = ["Kerze", "Rezept", "Gegossen", "Gefäß", "Wachs", "Wachs (g)", "Duftöl", "Duftöl (g)",
            "Farbstoff", "Docht", "Anzahl Dochte", "Kerzen gegossen", "Innen-Ø (mm)"]  # fmt: skip
    parts = ["Datum", "Dauer (h)", "vorher (g)", "nachher (g)", "Schmelzbad (mm)", "Flamme (mm)",
             "Wand (°C)"]  # fmt: skip
    rows = [[*head, *(f"{at}. Brand {part}" for at in (1, 2, 3) for part in parts)]]
    for letter, heavier in (("A", 0.0), ("B", 0.7)):
        row = [letter, "Fig", "01.03.2026", "Tumbler", "Soy", "100,0", "Fig oil", "8,0", "keine",
               "Cotton 8", "1", "2", "72"]  # fmt: skip
        for at in range(3):
            masses = (f"{mass - 26 * at + heavier:.1f}".replace(".", ",") for mass in (400, 374))
            row += [f"{16 + at}.03.2026", "4,0", *masses, "70", "22", "52"]
        rows.append(row)
    return rows


GERMAN: Final = Kept(
    "Brenntest.ods",
    "burns",
    ods(_german()),
    {"  scale:": "  scale: 0.1 g", "whole:": "whole: yes"},
    {"burns/fig-a.md": _burn("A", 0.0), "burns/fig-b.md": _burn("B", 0.7)},
)

LOG: Final = Kept(
    "burnlog.csv",
    "burns",
    b"""Burn Log 2026
Candle,Test #,Pour Date,Vessel,Wax,Wax (oz),Fragrance,FO (oz),Dye,Wick,# of Wicks,# Poured,Inside Dia (in),Burn Date,Burn Time,Start Wt (oz),End Wt (oz),Melt Pool Dia (in),Flame Ht (in),Glass Temp (F),Notes
Fig,A,3/1/26,tumbler,soy,3.53,fig oil,.28,none,cotton 8,1,1,2.83,3/16/26,4:00,14.11,13.19,2 3/4,7/8,126,a rim like soot
Fig,A,3/1/26,tumbler,soy,3.53,fig oil,.28,none,cotton 8,1,1,2.83,3/17/26,4:05,13.19,12.28,2.75,0.9,125,
""",
    {"  scale:": "  scale: 0.01 oz", "whole:": "whole: yes"},
    {
        "burns/fig-a.md": """---
recipe: fig
candle: A
made:
  on: 2026-03-01
  vessel: tumbler
  wax: {soy: 3.53 oz}
  fragrance: {fig-oil: 0.28 oz}
  colorant: none
  wick: cotton-8
  wicks: 1
  candles: 1
  inside_diameter: 2.83 in
scale: 0.01 oz
lit: 2
cycles:
  - {on: 2026-03-16, burned: 4 h, before: 14.11 oz, after: 13.19 oz, pool: 2 3/4 in, flame: 7/8 in, wall: 126 degF, note: a rim like soot}
  - {on: 2026-03-17, burned: 4 h 5 min, before: 13.19 oz, after: 12.28 oz, pool: 2.75 in, flame: 0.9 in, wall: 125 degF}
---
"""
    },
)
LATER: Final = (ORDERS, GERMAN, LOG)
