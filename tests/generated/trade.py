"""What was bought, what was poured to be given away, and what went wrong with it."""

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Final

from . import shelf
from .proofs import Recipe
from .sizes import AS_OF, Size
from .text import PEOPLE, flow, record, told

_BOUGHT: Final = {"vessels": "360 pcs", "waxes": "60 kg", "wicks": "2000 pcs", "fragrances": "4 kg"}
_PRICE: Final = {"vessels": 140, "waxes": 320, "wicks": 60, "fragrances": 240}
_A_WEEK: Final = timedelta(days=7)
_QUIET: Final = 20  # days before the studio's day in which no batch is poured


@dataclass(slots=True)
class Store:
    """The lots that were bought of each item, in the order of their days."""

    days: dict[str, list[date]] = field(default_factory=lambda: defaultdict(list))
    lots: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def newest(self, item: str, day: date) -> str:
        """Return the newest lot of an item that had been bought by a day."""
        return self.lots[item][bisect_right(self.days[item], day) - 1]

    def of(self, one: Recipe, day: date) -> dict[str, str]:
        """Return the lots that a candle of a recipe is made from on a day."""
        items = (f"vessels/{one.jar.id}", f"waxes/{one.wax}", f"fragrances/{one.oil}",
                 f"wicks/{one.wick}")  # fmt: skip
        return {item: self.newest(item, day) for item in items}


def purchases(rng: Random, size: Size, jars: list[shelf.Vessel]) -> tuple[shelf.Files, Store]:
    """Return the bills: first one of everything, then each item in its turn, waxes oftener."""
    items = [f"vessels/{jar.id}" for jar in jars]
    items += [f"fragrances/{oil}" for oil in shelf.oils(size)]
    items += [f"wicks/{wick}" for wick in shelf.wicks(size)]
    waxes = [f"waxes/{wax}" for wax in shelf.WAXES]
    start, store, files = AS_OF - timedelta(days=365 * size.years + 30), Store(), {}
    for number in range(size.purchases):
        on = start + timedelta(days=(365 * size.years) * number // size.purchases)
        three = [items[(3 * number + step) % len(items)] for step in range(3)]
        lines = [*items, *waxes] if number == 0 else [*three, waxes[number % len(waxes)]]
        files[f"purchases/{on}-{number + 1}.md"] = _bill(rng, store, number, on, lines)
    return files, store


def _bill(rng: Random, store: Store, number: int, on: date, items: list[str]) -> str:
    lines = []
    for item in dict.fromkeys(items):
        kind, lot = item.partition("/")[0], f"L{number + 1}-{len(store.days[item]) + 1}"
        store.days[item].append(on)
        store.lots[item].append(lot)
        price = f"{_PRICE[kind] * rng.uniform(0.9, 1.2):.2f}"
        keys = {"item": item, "quantity": _BOUGHT[kind], "price": price, "lot": lot}
        lines.append(flow(keys))
    if number % 4 == 0:
        lines.extend(
            flow({"item": f"packaging/{one}", "quantity": "500 pcs", "price": "40.00"})
            for one in shelf.PACKAGING
        )
    keys = {"supplier": rng.choice(("quay-candle-goods", "aroma-counter")), "on": on,
            "lines": lines, "freight": f"{rng.randint(8, 40)}.00", "spread": "value"}  # fmt: skip
    return record(keys, told(rng, 2))


@dataclass(frozen=True, slots=True)
class Batch:
    """A batch, as an incident needs to know it."""

    id: str
    recipe: Recipe
    on: date
    made: int


def batches(rng: Random, size: Size, recipes: list[Recipe]) -> list[Batch]:
    """Return the batches of what had passed, each on a Saturday, and not in the last weeks."""
    last = AS_OF - timedelta(days=_QUIET)
    able = [one for one in recipes if one.fate == "passed" and one.through + 2 * _A_WEEK < last]
    taken: dict[str, Batch] = {}
    while able and len(taken) < size.batches:
        one = rng.choice(able)
        on = _saturday(one.through + timedelta(days=rng.randint(1, (last - one.through).days - 7)))
        taken.setdefault(f"{one.id}-{on}", Batch(f"{one.id}-{on}", one, on, rng.randint(8, 24)))
    return [taken[ident] for ident in sorted(taken)]


def _saturday(day: date) -> date:
    return day + timedelta(days=(5 - day.weekday()) % 7)


def batch_record(rng: Random, one: Batch, store: Store, code: str) -> str:
    """Return the record of a batch; `code` is what its candles bear."""
    recipe, poured = one.recipe, one.made * 1.005
    on, rest, given = one.on + timedelta(days=20), one.made, []
    while rest > 0 and on < AS_OF:
        count = min(rest, rng.randint(2, 8))
        to = f'"{rng.choice(PEOPLE)}"'
        given.append(flow({"on": on, "to": to, "count": count, "how": "sold"}))
        rest, on = rest - count, on + _A_WEEK
    nets = (f"{recipe.jar.net_g + rng.uniform(-0.8, 0.8):.1f} g" for _ in range(one.made))
    keys = {
        "recipe": recipe.id,
        "on": one.on,
        "made": one.made,
        "by": rng.choice(shelf.HELPERS),
        "code": code,
        "lots": store.of(recipe, one.on),
        "weighed": {f"waxes/{recipe.wax}": f"{recipe.wax_g * poured:.1f} g",
                    f"fragrances/{recipe.oil}": f"{recipe.oil_g * poured:.1f} g"},
        "net": f"[{', '.join(nets)}]",
    }  # fmt: skip
    return record(keys | ({"given": given} if given else {}), told(rng, 3))


def incidents(rng: Random, size: Size, made: list[Batch], store: Store) -> shelf.Files:
    """Return the incidents: each from Monday to Thursday, since batches are poured on Saturdays.

    The last one is open still.
    """
    chosen = sorted(rng.sample(made, size.incidents), key=lambda one: one.on)
    files = {}
    for number, one in enumerate(chosen, 1):
        on, keys = one.on + timedelta(days=16), {"number": number}
        is_last = number == len(chosen)
        if is_last:
            on = AS_OF - timedelta(days=2)
        keys |= {"on": on, "about": f"batches/{one.id}"}
        if number % 2 == 0:
            item = f"fragrances/{one.recipe.oil}"
            keys |= {"about": item, "lot": store.newest(item, one.on)}
        keys["what"] = '"Two buyers say that it smells otherwise than the last one."'
        if not is_last:
            keys["closed"] = {"on": on + timedelta(days=3), "finding": '"Nothing was found."'}
        files[f"incidents/incident-{number}.md"] = record(keys, told(rng, 2))
    return files
