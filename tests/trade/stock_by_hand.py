"""What is left in the demo's store, added up by hand: raw texts, fractions, nothing of the package.

Read beside the guide 'Writing a record': bought, less what batches weighed and test candles took;
a count says what was there at the end of its day.
"""

from collections import defaultdict
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import yaml

RECORDS: Final = Path(__file__).parents[2] / "records"
# 1 lb = 453.59237 g and 1 oz = lb/16, exactly (NIST Handbook 44, Appendix C).
GRAMS: Final = {"g": Fraction(1), "kg": Fraction(1000), "lb": Fraction("453.59237"),
                "oz": Fraction("453.59237") / 16}  # fmt: skip
WEIGHED: Final = ("waxes", "fragrances", "colorants")
Key = tuple[str, str | None]


def raw(kind: str) -> dict[str, dict[str, Any]]:
    """Return the front matter of every record of a kind, as plain YAML has it."""
    return {
        path.stem: _front(path.read_text("utf-8")) for path in sorted((RECORDS / kind).glob("*.md"))
    }


def _front(text: str) -> Any:  # noqa: ANN401 -- whatever the record says
    return yaml.load(text.split("---\n")[1], yaml.BaseLoader)  # noqa: S506 -- text only


def amount(written: str) -> Fraction:
    """Return grams or pieces: '10 kg', '16 oz', '72 pcs', '500'."""
    number, _, unit = written.partition(" ")
    return Fraction(number) * (1 if unit in ("", "pcs") else GRAMS[unit])


def by_hand(day: str) -> dict[Key, Fraction]:
    """Return what is left of each item and lot at the end of a day."""
    moves: list[tuple[str, Key, Fraction]] = [*_bought(), *_by_batches(), *_by_candles()]
    left: dict[Key, Fraction] = defaultdict(Fraction)
    counted = _counted(day)
    for on, key, change in moves:
        since, _ = counted.get(key, ("", Fraction()))
        if since < on <= day:
            left[key] += change
    for key, (_, found) in counted.items():
        left[key] += found
    return dict(left)


def _counted(day: str) -> dict[Key, tuple[str, Fraction]]:
    found: dict[Key, tuple[str, Fraction]] = {}
    for one in sorted(raw("stock").values(), key=lambda record: str(record["on"])):
        for named, written in one["counted"].items() if one["on"] <= day else ():
            item, _, lot = named.partition(" ")
            found[item, lot or None] = (one["on"], amount(written))
    return found


def _bought() -> list[tuple[str, Key, Fraction]]:
    return [
        (bill["on"], (line["item"], line.get("lot")), amount(line["quantity"]))
        for bill in raw("purchases").values()
        for line in bill["lines"]
    ]


def _by_batches() -> list[tuple[str, Key, Fraction]]:
    found = []
    recipes = raw("recipes")
    for one in raw("batches").values():
        recipe, made, lots = recipes[one["recipe"]], int(one["made"]), one["lots"]
        used = {item: amount(written) for item, written in one.get("weighed", {}).items()}
        for item in lots:
            if item.startswith("vessels/"):
                used[item] = Fraction(made)
            if item.startswith("wicks/"):  # no batch of the demo has another number of wicks
                used[item] = Fraction(made * int(recipe.get("wicks", 1)))
        for name, each in recipe.get("packaging", {}).items():
            used[f"packaging/{name}"] = Fraction(made * int(each))
        if not any(item.startswith("vessels/") for item in used):
            used[f"vessels/{recipe['vessel']}"] = Fraction(made)
        found += [(one["on"], (item, lots.get(item)), -taken) for item, taken in used.items()]
    return found


def _by_candles() -> list[tuple[str, Key, Fraction]]:
    found = []
    for one in raw("burns").values():
        made, lots = one["made"], one.get("lots", {})
        used = {f"vessels/{made['vessel']}": Fraction(1)}
        used[f"wicks/{made['wick']}"] = Fraction(made["wicks"])
        for key, folder in (("wax", "waxes"), ("fragrance", "fragrances"),
                            ("colorant", "colorants")):  # fmt: skip
            weighed = {} if made[key] == "none" else made[key]
            used |= {f"{folder}/{name}": amount(mass) for name, mass in weighed.items()}
        found += [(made["on"], (item, lots.get(item)), -taken) for item, taken in used.items()]
    return found


def day_of(written: str) -> date:
    """Return a day from its ISO form."""
    return date.fromisoformat(written)
