"""One small studio in which every report has something to tell, and a day to tell it on."""

from collections.abc import Mapping
from datetime import date
from typing import Final

from handbook_builder.derived.handover import codes_of, state_of
from tests.handover.kit import Sitting, read_burn
from tests.records_in_text import OIL, RECIPE, STUDIO, WICK, burn, linked, proven, whole_life

DAY: Final = "2026-05-01"
MONEY = (
    "labour: 18.00\noverhead: 0.55\nwholesale_multiple: 2.0\nretail_multiple: 4.0\n"
    "minutes_a_cycle: 8 min\npitcher_loss: 2 %\nlot_tolerance: 2 %\n"
)
BILL = """---
supplier: jar-house
on: 2026-01-10
lines:
  - {item: waxes/soy, quantity: 10 kg, price: 60.00, lot: W-1}
  - {item: waxes/soy, quantity: 5 kg, price: 31.00, lot: W-2}
  - {item: fragrances/fig-oil, quantity: 1 kg, price: 48.00, lot: F-9}
  - {item: wicks/cotton-8, quantity: 100 pcs, price: 9.00}
  - {item: vessels/tumbler, quantity: 48 pcs, price: 62.00}
freight: 14.50
duty: 3.20
---
"""
BATCH = """---
recipe: fig
on: %s
made: %d
by: wren
lots: {waxes/soy: %s, fragrances/fig-oil: F-9}
weighed: {waxes/soy: %d g, fragrances/fig-oil: %d g}
%s---
"""
GIVEN = """net: [108.0 g, 108.1 g, 108.2 g]
given:
  - {on: 2026-04-20, to: Café Ørsted, count: 4, how: sold}
  - {on: 2026-04-12, to: a friend, count: 1, how: gift}
kept: [{on: 2026-04-13, count: 1, why: as a sample}]
"""
COUNT = "---\non: 2026-04-25\ncounted: {waxes/soy W-1: 8.4 kg, vessels/tumbler: 20}\n---\n"
INCIDENT = "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nlot: W-2\nwhat: It is sour.\n---\n"
HELPER = """---
read:
  - {page: hot-wax-and-flame, on: 2026-02-28, edition: 1A2B}
may: [burn, sign]
---
"""
VOID = "void: {why: the scale was off, by: wren, on: 2026-04-02}\nlots: {waxes/soy: W-1}\n"
TOO_TALL = (
    "{on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 370.0 g, pool: 72 mm, depth: 9 mm, "
    "flame: 60 mm, wall: 58 degC, after_smoke: 9 s, seen: [sooting]}"
)


# One component by a range, one ignored, one without the M-factor that could matter.
COMPONENTS = """sheet_lists: 3
components:
  - {name: linalool, cas: 78-70-6, share: 15-20 %, hazards: [Skin Irrit. 2, Skin Sens. 1B]}
  - {name: limonene, cas: 5989-27-5, share: 9 %, hazards: [Flam. Liq. 3, Asp. Tox. 1]}
  - {name: acetyl cedrene, cas: 32388-55-9, share: 6 %, hazards: [Aquatic Chronic 1]}
"""


def studio() -> dict[str, str]:
    """Return an approved candle with a batch under an incident, and two that are not proven."""
    files = {
        **proven(),
        "studio.md": STUDIO.replace("protocol:", f"{MONEY}protocol:"),
        "helpers/wren.md": HELPER,
        "incidents/sour.md": INCIDENT,
        "purchases/january.md": BILL,
        "stock/april.md": COUNT,
        "batches/april.md": BATCH % ("2026-04-05", 12, "W-1", 1300, 104, GIVEN),
        "batches/may.md": BATCH % ("2026-04-28", 6, "W-2", 650, 52, ""),
        "fragrances/fig-oil.md": OIL.removesuffix("---\n") + COMPONENTS + "---\n",
        **_big_wick(),
        **_mild(),
    }
    for one in "ABCD":
        more = VOID if one == "D" else "lots: {waxes/soy: W-1}\n"
        files[f"burns/fig-{one.lower()}.md"] = burn(one, candles=4, more=more)
    return files


def handed_over(files: Mapping[str, str]) -> dict[str, str]:
    """Return an inbox: two cycles and the end of the one that burns, doubled, cut; a picture."""
    one = read_burn(files["burns/fig-big-b.md"], "fig-big-b")
    studio = linked(files)
    cycles = [
        {"on": "2026-03-18", "burned": "4 h", "before": "374.7 g", "after": "345 g"},
        {"on": "2026-03-20", "burned": "3 h", "flame": "24 mm", "seen": ["mushrooming"]},
    ]
    code = codes_of(studio, one, [date.fromisoformat(DAY)])[0]
    end = {"how": "stopped", "why": "it soots", "left": "75 g", "vessel": "sound"}
    text = Sitting("fig-big-b", one.candle, code, state_of(one), cycles, end).text()
    return {"a.txt": text, "b.txt": text[:300], "c.txt": text, "pool.jpg": "a picture"}


def _big_wick() -> dict[str, str]:
    """Return a recipe with a bigger wick: one candle failed, one still burns."""
    wick = WICK.replace('size: "8"', 'size: "10"').replace("step: 3", "step: 4")
    lots = "lots: {waxes/soy: W-1}\n"
    stopped = "{how: stopped, why: it soots, left: 70 g, vessel: sound, tilt: steady, cycles: all}"
    burns = {
        "a": burn("A", wick="cotton-10", candles=2, cycles=[TOO_TALL], end=stopped, more=lots),
        "b": burn("B", wick="cotton-10", candles=2, cycles=whole_life(1)[:1], end="",
                  more=f"{lots}lit: 1\n"),
    }  # fmt: skip
    recipe = RECIPE.replace("Fig", "Fig, big wick").replace("cotton-8", "cotton-10")
    return {
        "wicks/cotton-10.md": wick,
        "recipes/fig-big.md": recipe,
        **{
            f"burns/fig-big-{letter}.md": text.replace("recipe: fig\n", "recipe: fig-big\n")
            for letter, text in burns.items()
        },
    }


def _mild() -> dict[str, str]:
    """Return a recipe with less oil: one candle waits to be lit, another has too much oil."""
    waiting = {"cycles": [], "end": "", "candles": 2, "more": "lots: {waxes/soy: W-1}\n"}
    burns = {
        "a": burn("A", wax="101.9 g", oil="6.1 g", **waiting),
        "b": burn("B", wax="101.0 g", oil="7.0 g", **waiting),
    }
    recipe = RECIPE.replace("Fig", "Fig, mild").replace("fig-oil: 8 %", "fig-oil: 6 %")
    return {
        "recipes/fig-mild.md": recipe,
        **{
            f"burns/fig-mild-{letter}.md": text.replace("recipe: fig\n", "recipe: fig-mild\n")
            for letter, text in burns.items()
        },
    }


def at_fault(files: Mapping[str, str]) -> dict[str, str]:
    """Return the same with two keys that nobody knows, in a candle that still burns."""
    path = "burns/fig-big-b.md"
    return {**files, path: files[path].replace("candle: B\n", "candle: B\nflamé: ü\nbrim: 1\n")}
