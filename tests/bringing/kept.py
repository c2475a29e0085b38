# ruff: noqa: E501 -- tables and records as people write them, a row a line
"""Six tables as people keep them, and the same records typed by hand.

All of them are invented. Each is read by the mapping that is proposed, with the lines in `mended`
put in the place of those that the proposal leaves blank or gets wrong.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from typing import Final

from tests.bringing.files import ods, xlsx


@dataclass(frozen=True, slots=True)
class Kept:
    """A table: its file, what its rows are, the lines of the mapping that are mended, and records.

    `typed` are the records as somebody would have typed them, by their path.
    """

    name: str
    kind: str
    data: bytes
    mended: Mapping[str, str]
    typed: Mapping[str, str]


RECIPES: Final = Kept(
    "recipes.xlsx",
    "recipes",
    xlsx(
        [
            ["What we make"],
            [],
            ["Name", "Jar", "Wax", "Wick", "Oil", "Load", "Net fill (g)", "Labour (min)",
             "Test candles", "Remarks", "Shelf"],
            ["Fig", "Tumbler", "Soy", "Cotton 8", "Fig oil", 0.08, 108, 6, 0, "Our first.", "B3"],
            ["Plain jar", "Tumbler", "Soy", "Cotton 8", "none", None, 107.5, 5, 0, None, "B4"],
        ],
        merged=["A1:D1"],
        formats={"F4": "0.0%"},
    ),
    {"  load_basis:": "  load_basis: wax"},
    {
        "recipes/fig.md": """---
title: Fig
vessel: tumbler
wax: soy
wick: cotton-8
fragrance: {fig-oil: 8 %}
load_basis: wax
fill: 108 g
minutes: 6 min
test_candles: 0
---
Our first.
""",
        "recipes/plain-jar.md": """---
title: Plain jar
vessel: tumbler
wax: soy
wick: cotton-8
fragrance: none
load_basis: wax
fill: 107.5 g
minutes: 5 min
test_candles: 0
---
""",
    },
)  # fmt: skip

PURCHASES: Final = Kept(
    "Bestellungen.csv",
    "purchases",
    (
        "Bestellungen 2026;;;;;;;;\n"
        "Datum;Lieferant;Artikel;Menge;Einheit;Preis (€);Charge;Versand;Bemerkung\n"
        "10.01.2026;Jar House;Soy;10;kg;1.060,00;W-1;14,50;Palette, eine Ecke gequetscht\n"
        "10.01.2026;Jar House;Fig oil;1,5;kg;48,20;F-9;;\n"
        "10.01.2026;Jar House;Cotton 8;100;pcs;9,00;;;\n"
        ";;;;;;;;\n"
        "03.02.2026;Jar House;Tumbler;48;pcs;62,00;;8,00;für März\n"
    ).encode("windows-1252"),
    {},
    {
        "purchases/2026-01-10-jar-house.md": """---
supplier: jar-house
on: 2026-01-10
lines:
  - {item: waxes/soy, quantity: 10 kg, price: 1060.00, lot: W-1}
  - {item: fragrances/fig-oil, quantity: 1.5 kg, price: 48.20, lot: F-9}
  - {item: wicks/cotton-8, quantity: 100 pcs, price: 9.00}
freight: 14.50
---
Palette, eine Ecke gequetscht
""",
        "purchases/2026-02-03-jar-house.md": """---
supplier: jar-house
on: 2026-02-03
lines:
  - {item: vessels/tumbler, quantity: 48 pcs, price: 62.00}
freight: 8.00
---
für März
""",
    },
)

_MADE: Final = """recipe: fig
made:
  on: 2026-03-01
  vessel: tumbler
  wax: {soy: 100.0 g}
  fragrance: {fig-oil: 8.0 g}
  colorant: none
  wick: cotton-8
  wicks: 1
  candles: 2
  inside_diameter: 72 mm
  tilt: steady
scale: 0.1 g
"""
_A: Final = f"""---
{_MADE}candle: A
cycles:
  - {{on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 374.0 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s, seen: [mushrooming]}}
  - {{on: 2026-03-17, burned: 4 h 5 min, before: 374.0 g, after: 348.0 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s}}
  - {{on: 2026-03-18, burned: 4 h, before: 348.0 g, after: 322.0 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s}}
  - {{on: 2026-03-19, burned: 3 h 10 min, before: 322.0 g, after: 301.0 g, flame: 15 mm}}
end: {{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: 4}}
---
"""
_B: Final = f"""---
{_MADE}candle: B
cycles:
  - {{on: 2026-03-16, burned: 4 h, before: 400.7 g, after: 374.7 g, pool: 70 mm, depth: 8 mm, flame: 23 mm, wall: 53 degC, after_smoke: 8 s}}
  - {{on: 2026-03-17, burned: 4 h, before: 374.7 g, after: 348.7 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 9 s, seen: [sweating, wet_spots]}}
lit: 2
---
"""
_HEAD: Final = ["Recipe", "Candle", "Poured", "Jar", "Wax", "Wax weight (g)", "Oil",
                "Oil weight (g)", "Dye", "Wick", "Wicks", "Poured together", "Diameter (mm)",
                "Tilt before", "Date", "Burn time", "Before (g)", "After (g)", "Pool (mm)",
                "Depth (mm)", "Flame (mm)", "Wall (°C)", "After-smoke (s)", "Seen", "Ended",
                "Left (g)", "Jar at end", "Tilt at end"]  # fmt: skip
_WHO: Final = [date(2026, 3, 1), "Tumbler", "Soy", 100, "Fig oil", 8, "none", "Cotton 8", 1, 2, 72,
               "steady"]  # fmt: skip
_REST: Final = [None] * 12

CYCLES: Final = Kept(
    "burns.ods",
    "burns",
    ods(
        [
            _HEAD,
            ["Fig", "A", *_WHO, date(2026, 3, 16), time(4), 400, 374, 70, 8, 22, 52, 8, "mushrooming"],
            [None, None, *_REST, date(2026, 3, 17), time(4, 5), 374, 348, 70, 8, 22, 52, 8],
            [None, None, *_REST, date(2026, 3, 18), time(4), 348, 322, 70, 8, 22, 52, 8],
            [None, None, *_REST, date(2026, 3, 19), time(3, 10), 322, 301, None, None, 15, None,
             None, None, "went out", 4, "sound", "steady"],
            [],
            ["Fig", "B", *_WHO, date(2026, 3, 16), time(4), 400.7, 374.7, 70, 8, 23, 53, 8],
            ["Fig", "B", *_WHO, date(2026, 3, 17), time(4), 374.7, 348.7, 70, 8, 22, 52, 9,
             "sweating, wet spots"],
        ],
        spanned={(1, 0): 4},
    ),
    {"  scale:": "  scale: 0.1 g", "whole:": "whole: yes"},
    {"burns/fig-a.md": _A, "burns/fig-b.md": _B},
)  # fmt: skip

_PART: Final = ["date", "hours", "before (g)", "after (g)", "pool (mm)", "depth (mm)", "flame (mm)",
                "wall (°C)", "after-smoke (s)", "seen"]  # fmt: skip
WIDE: Final = Kept(
    "candles.xlsx",
    "burns",
    xlsx(
        [
            ["Recipe", "Letter", "Poured", "Vessel", "Wax", "Wax weight", "Oil", "Oil weight",
             "Dye", "Wick", "Wicks", "Poured together", "Diameter (mm)", "Tilt before",
             *(f"{one} {number}" for number in range(1, 5) for one in
               ("date", "hours", "before", "after", "pool", "depth", "flame", "wall",
                "smoke time", "seen")),
             "Ended", "Left", "Vessel at end", "Tilt"],
            ["Fig", "A", date(2026, 3, 1), "Tumbler", "Soy", "100 g", "Fig oil", "8 g", "none",
             "Cotton 8", 1, 2, 72, "steady",
             date(2026, 3, 16), "4 h", "400 g", "374 g", "70 mm", "8 mm", "22 mm", "52 °C", "8 s",
             "Mushrooming",
             date(2026, 3, 17), "4 h 5 min", "374 g", "348 g", "70 mm", "8 mm", "22 mm", "52 °C",
             "8 s", None,
             date(2026, 3, 18), "4 h", "348 g", "322 g", "70 mm", "8 mm", "22 mm", "52 °C", "8 s",
             None,
             date(2026, 3, 19), "3 h 10 min", "322 g", "301 g", None, None, "15 mm", None, None,
             None,
             "went out", "4 g", "sound", "steady"],
            ["Fig", "B", date(2026, 3, 1), "Tumbler", "Soy", "100 g", "Fig oil", "8 g", "none",
             "Cotton 8", 1, 2, 72, "steady",
             date(2026, 3, 16), "4 h", "400.7 g", "374.7 g", "70 mm", "8 mm", "23 mm", "53 °C",
             "8 s", None,
             date(2026, 3, 17), "4 h", "374.7 g", "348.7 g", "70 mm", "8 mm", "22 mm", "52 °C",
             "9 s", "sweating; wet spots"],
        ]
    ),
    {"  scale:": "  scale: 0.1 g", "whole:": "whole: yes"},
    {"burns/fig-a.md": _A, "burns/fig-b.md": _B},
)  # fmt: skip

US: Final = Kept(
    "us.csv",
    "burns",
    b"""Recipe,Tester,Poured,Jar,Wax,Wax weight (oz),Fragrance,FO weight (oz),Dye,Wick,Wicks,Testers,Diameter (in),Burn date,Hours,Start (oz),End (oz),Melt pool (in),Pool depth (in),Flame height (in),Glass temp (F),Observations
Fig,A,3/1/2026,tumbler,soy,3.5,fig-oil,0.28,none,cotton-8,1,1,2 27/32,3/16/2026,4,14.11,13.19,2 3/4,5/16,7/8,126,mushroom
Fig,A,3/1/2026,tumbler,soy,3.5,fig-oil,0.28,none,cotton-8,1,1,2 27/32,3/17/2026,4.1,13.19,12.28,2.75,0.31,0.9,125.6,
""",
    {"  scale:": "  scale: 0.01 oz", "whole:": "whole: no"},
    {
        "burns/fig-a.md": """---
recipe: fig
candle: A
made:
  on: 2026-03-01
  vessel: tumbler
  wax: {soy: 3.5 oz}
  fragrance: {fig-oil: 0.28 oz}
  colorant: none
  wick: cotton-8
  wicks: 1
  candles: 1
  inside_diameter: 2 27/32 in
scale: 0.01 oz
cycles:
  - {on: 2026-03-16, burned: 4 h, before: 14.11 oz, after: 13.19 oz, pool: 2 3/4 in, depth: 5/16 in, flame: 7/8 in, wall: 126 °F, seen: [mushrooming]}
  - {on: 2026-03-17, burned: 4.1 h, before: 13.19 oz, after: 12.28 oz, pool: 2.75 in, depth: 0.31 in, flame: 0.9 in, wall: 125.6 °F}
---
"""
    },
)

EUROPEAN: Final = Kept(
    "Brenntests.csv",
    "burns",
    (
        "Rezept;Kerze;Gegossen am;Gefäß;Wachs;Wachsmenge (g);Duft;Duftmenge (g);Farbe;Docht;Dochte;"
        "Kerzen;Innendurchmesser (mm);Datum;Brenndauer (h);Vorher (g);Nachher (g);Schmelzbad (mm);"
        "Tiefe (mm);Flamme (mm);Wandtemperatur (°C);Nachrauchen (s)\n"
        "Fig;A;1.3.2026;Tumbler;Soy;100,0;Fig oil;8,0;none;Cotton 8;1;1;72,0;16.3.2026;4;400,0;374,0;70;8;22;52;8\n"
        "Fig;A;1.3.2026;Tumbler;Soy;100,0;Fig oil;8,0;none;Cotton 8;1;1;72,0;17.3.2026;4,25;374,0;348,5;70;8;22;52,5;8\n"
    ).encode("utf-16"),
    {"  scale:": "  scale: 0,1 g".replace(",", "."), "whole:": "whole: yes"},
    {
        "burns/fig-a.md": """---
recipe: fig
candle: A
made:
  on: 2026-03-01
  vessel: tumbler
  wax: {soy: 100.0 g}
  fragrance: {fig-oil: 8.0 g}
  colorant: none
  wick: cotton-8
  wicks: 1
  candles: 1
  inside_diameter: 72.0 mm
scale: 0.1 g
lit: 2
cycles:
  - {on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 374.0 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s}
  - {on: 2026-03-17, burned: 4.25 h, before: 374.0 g, after: 348.5 g, pool: 70 mm, depth: 8 mm, flame: 22 mm, wall: 52.5 degC, after_smoke: 8 s}
---
"""
    },
)
ALL: Final = (RECIPES, PURCHASES, CYCLES, WIDE, US, EUROPEAN)
