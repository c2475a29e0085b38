"""What stands on the shelf: vessels, waxes, wicks, oils, papers; who sold it, and who helps."""

from dataclasses import dataclass
from datetime import timedelta
from random import Random
from typing import Final

from .sizes import AS_OF, Size
from .text import flow, record, told

Files = dict[str, str]
WAX_G_PER_ML: Final = 0.9
WAXES: Final = ("soy-blend", "coconut-soy", "rapeseed", "soft-soy", "pillar-blend")
SUPPLIERS: Final = {
    "quay-candle-goods": "candle_supplier",
    "valley-vessel-stores": "candle_supplier",
    "aroma-counter": "candle_supplier",
    "paper-and-print": "general",
}
HELPERS: Final = ("ilse", "bruno", "wren")
PACKAGING: Final = ("front-label", "caution-label", "dust-cover")
_MATERIALS: Final = ("glass", "ceramic", "metal")
_SCENTS: Final = ("cedar", "fig", "pine", "vanilla", "lavender", "clove", "tea", "verbena")
_KINDS: Final = ("evening", "morning", "resin", "garden", "smoke")


@dataclass(frozen=True, slots=True)
class Vessel:
    """A vessel as the rest of the studio needs it; a candle in it weighs `net_g`."""

    id: str
    width_mm: int
    empty_g: int
    net_g: float


def vessels(rng: Random, size: Size) -> list[Vessel]:
    """Return the vessels."""
    return [_vessel(rng, number) for number in range(size.vessels)]


def _vessel(rng: Random, number: int) -> Vessel:
    width = rng.randint(68, 84)
    return Vessel(f"jar-{number + 1}", width, rng.randint(90, 280), float(rng.randint(130, 220)))


def oils(size: Size) -> list[str]:
    """Return the ids of the oils."""
    names = [f"{scent}-{kind}" for kind in _KINDS for scent in _SCENTS]
    return [f"{names[at % 40]}-{at // 40 + 1}-oil" for at in range(size.oils)]


def wicks(size: Size) -> list[str]:
    """Return the ids of the wicks."""
    return [f"cotton-{2 * at + 4}" for at in range(size.wicks)]


def items_of(rng: Random, size: Size, jars: list[Vessel]) -> Files:
    """Return the records of all items, suppliers and helpers."""
    files: Files = {}
    since = AS_OF - timedelta(days=365 * size.years + 60)
    for jar in jars:
        files[f"vessels/{jar.id}.md"] = _vessel_record(rng, jar, str(since))
    for number, wax in enumerate(WAXES):
        files[f"waxes/{wax}.md"] = _wax_record(rng, number)
    for number, wick in enumerate(wicks(size)):
        called = f'"{2 * number + 4}"'
        keys = {"series": "cotton", "size": called, "step": number + 1, "core": "none"}
        files[f"wicks/{wick}.md"] = record(keys, told(rng, 2))
    for oil in oils(size):
        files[f"fragrances/{oil}.md"] = _oil_record(rng, str(since))
    return files | _house(rng, since.year)


def _vessel_record(rng: Random, jar: Vessel, since: str) -> str:
    volume_ml = round(jar.net_g / WAX_G_PER_ML)
    keys = {
        "material": rng.choice(_MATERIALS),
        "supplier": "valley-vessel-stores",
        "use": "product",
        "inside_diameter": f"{jar.width_mm} mm",
        "opening": f"{jar.width_mm} mm",
        "inside_height": "100 mm",
        "wall": "4 mm",
        "empty_mass": f"{jar.empty_g} g",
        "fill": f"{{volume: {volume_ml} mL}}",
        "brim": f"{{volume: {volume_ml + 50} mL}}",
        "heat_evidence": [f"{{kind: sold_for_candles, on: {since}, by: valley-vessel-stores}}"],
        "drinkware": "no",
        "porous": "no",
        "label_panel": "{width: 75 mm, height: 55 mm}",
    }
    return record(keys, told(rng))


def _wax_record(rng: Random, number: int) -> str:
    keys = {
        "kind": "soy blend",
        "density": f"{WAX_G_PER_ML} g/mL",
        "max_load": "12 %",
        "melt_point": f"{48 + number} degC",
        "cure": "14 days",
        "heat_to": "80 degC",
        "add_at": "70 degC",
        "pour_at": "60 degC",
        "flash_point": "230 degC",
    }
    return record(keys, told(rng))


def _oil_record(rng: Random, since: str) -> str:
    parts = [
        {"name": "linalool", "cas": "78-70-6", "share": "4 %",
         "hazards": "[Skin Irrit. 2, Eye Irrit. 2, Skin Sens. 1B]"},
        {"name": "coumarin", "cas": "91-64-5", "share": f"{rng.randint(1, 3)} %",
         "hazards": "[Acute Tox. 4, Skin Sens. 1B]", "ate_oral": 500},
    ]  # fmt: skip
    keys = {
        "density": f"0.9{rng.randint(2, 8)} g/mL",
        "flash_point": f"{rng.randint(88, 99)} degC",
        "max_use": "20 %",
        "certificate": flow({"on": since, "amendment": '"51"'}),
        "safety_sheet": [flow({"on": since, "revision": '"3"'})],
        "sheet_lists": len(parts),
        "components": [flow(part) for part in parts],
    }
    return record(keys, f"{told(rng)}\n\nThe composition is invented.")


def _house(rng: Random, first_year: int) -> Files:
    files: Files = {}
    for supplier, kind in SUPPLIERS.items():
        keys = {"kind": kind, "distance": f"{rng.randint(5, 90)} km", "lead_time": "5 days"}
        files[f"suppliers/{supplier}.md"] = record(keys, told(rng))
    for helper in HELPERS:
        files[f"helpers/{helper}.md"] = record({"may": "[burn, pour]"}, told(rng, 2))
    for paper in PACKAGING:
        files[f"packaging/{paper}.md"] = record({"form": "label"}, f"Printed since {first_year}.")
    return files
