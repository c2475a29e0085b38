"""What no studio may have poured, and what could not be traced: faults of the records.

A batch must be of a make-up that was approved on the day it was poured. It is asked of that day,
so that an incident, a failure or a new specification that came later makes no older batch wrong.
A lot must be on a bill: in a mistyped one, an incident about the right one would find nothing.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from itertools import chain

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.found import burns_by_recipe, lots_first_bought
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.batches import code_on, is_former
from handbook_builder.verdicts.code import is_code, plain
from handbook_builder.verdicts.copies import copies_among
from handbook_builder.verdicts.judge import Judged, Memory, judge
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.seen import seen_on


@dataclass(frozen=True, slots=True)
class Unfounded:
    """A batch that no proof stood behind on its day; `poured` is how its product stood then.

    It becomes a `Problem` where it is printed (`faults.told`), in the studio's own words.
    """

    place: Place
    code: str
    details: Mapping[str, object]
    poured: Product | None = None


def unfounded(studio: Studio) -> Iterator[Unfounded]:
    """Yield each batch of a make-up that was not approved on its day.

    One of a former make-up is never "as proven", as its page says; but something must have been.
    """
    about = _Recipes(studio)
    for batch in studio.batches.values():
        recipe = batch.recipe
        if is_former(studio, batch):
            passed, needed = len(about.passed(recipe, batch.on)), studio.protocol.test_candles
            if passed < needed:
                details = {"on": batch.on, "recipe": recipe, "passed": passed, "needed": needed}
                yield Unfounded(batch.source.place("code"), "batch_never_proven", details)
            continue
        poured = about.product(recipe, batch.on)
        if poured.status is not Status.APPROVED:
            since = about.approved_after(recipe, batch.on)
            details = {"on": batch.on, "recipe": recipe, "since": since}
            code = "batch_unproven" if since is None else "batch_too_early"
            yield Unfounded(batch.source.place("on"), code, details, poured)


class _Recipes:
    """Judges one recipe on any day, each day once, from what bears on it and nothing else."""

    def __init__(self, studio: Studio) -> None:
        self.studio = studio
        seen = (seen_on(burn, date.max) for burn in studio.burns.values())
        self.copies = copies_among(candle for candle in seen if candle is not None)
        self.memory = Memory(repeats=frozenset(self.copies))
        self.names: dict[str, set[str]] = defaultdict(set)
        for ident, recipe in studio.recipes.items():
            self.names[recipe.vessel].add(ident)
        for burn in studio.burns.values():
            self.names[burn.made.vessel].add(burn.recipe)
        self.by_vessel = cache(self._of_vessel)
        self.product = cache(self._product)

    def _product(self, recipe: str, day: date) -> Product:
        return self._judged(recipe, day).products[recipe]

    def _judged(self, recipe: str, day: date) -> Judged:
        return judge(self.bearing(recipe), day, self.memory, recipe)

    def passed(self, recipe: str, day: date) -> set[str]:
        """Return the candles that had passed by a day as any make-up that a recipe ever was."""
        judged = self._judged(recipe, day)
        own = {
            ident
            for ident, one in judged.burns.items()
            if one.candle.seen.burn.recipe == recipe and one.candle.verdict is Verdict.PASS
        }
        return own | {candle.id for candle in judged.products[recipe].evidence.passed}

    def bearing(self, recipe: str) -> Studio:
        """Return the studio with what may speak about one recipe."""
        return self.by_vessel(self.studio.recipes[recipe].vessel)

    def _of_vessel(self, vessel: str) -> Studio:
        """Return the studio with the recipes and candles that may speak about those of a vessel.

        Those are of every recipe that is made or was tested in it: without the same
        vessel no candle is alike. A candle whose record copies another's needs that other.
        """
        burns = self.studio.burns
        names = self.names[vessel]
        recipes = {name: self.studio.recipes[name] for name in sorted(names)}
        filed = burns_by_recipe(self.studio)
        near = {burn.source.id for name in names for burn in filed.get(name, ())}
        near |= {twin for ident in near for twin in self.copies.get(ident, ())}
        burned = {ident: burns[ident] for ident in sorted(near)}
        vessels = {one.made.vessel for one in burned.values()}
        vessels |= {each_recipe.vessel for each_recipe in recipes.values()}
        return replace(
            self.studio,
            recipes=recipes,
            burns=burned,
            vessels={one: self.studio.vessels[one] for one in sorted(vessels)},
        )

    def approved_after(self, recipe: str, on: date) -> date | None:
        """Return the first day after `on` on which a recipe is approved, if there is one."""
        days = _turning_days(self.bearing(recipe), self.studio.recipes[recipe])
        for day in sorted(turning for turning in days if turning > on):
            if self.product(recipe, day).status is Status.APPROVED:
                return day
        return None


def _turning_days(studio: Studio, recipe: Recipe) -> set[date]:
    """Return every day on which the verdict on a recipe can change."""
    burns, vessel = studio.burns.values(), studio.vessels[recipe.vessel]
    items = chain.from_iterable(getattr(studio, kind).values() for kind in ITEM_FOLDERS)
    oils = studio.fragrances.values()
    incidents = studio.incidents.values()
    found = {
        *(cycle.on.day for burn in burns for cycle in burn.cycles),
        *(burn.made.on for burn in burns),
        *(burn.void.on for burn in burns if burn.void),
        *(since for item in items for since in item.spec_since),
        *(paper.on for oil in oils for paper in oil.certificate),
        *(paper.on for oil in oils for paper in oil.safety_sheet),
        *(word.on for wick in studio.wicks.values() for word in wick.lead_free),
        *(evidence.on for evidence in vessel.heat_evidence),
        *(leak.on for leak in vessel.leak_test),
        *(incident.closed.on for incident in incidents if incident.closed),
    }
    return {day for day in found if day is not None}


def miscopied(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each batch whose code is none: a symbol of it was copied wrong."""
    for batch in studio.batches.values():
        place = batch.source.place("code")
        if batch.code is not None and not is_code(batch.code):
            yield problem(place, "not_a_code", {"found": batch.code})


def of_another(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each batch whose code is not its recipe's and is that of another one.

    An incident about it would hold the recipe that it names, and let go of the candle that it is.
    """
    for batch in studio.batches.values():
        if batch.code is None or not is_former(studio, batch):
            continue
        codes = {recipe: code_on(studio, recipe, batch.on) for recipe in studio.recipes}
        others = sorted(one for one, code in codes.items() if plain(code) == plain(batch.code))
        if others:
            details = {"found": batch.code, "recipe": batch.recipe, "recipes": ", ".join(others)}
            yield problem(batch.source.place("code"), "code_of_another", details)


def untraceable(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each lot, of a batch or an incident, that no bill lists in time."""
    bought = lots_first_bought(studio)
    for batch in studio.batches.values():
        for item, lot in batch.lots.items():
            place = batch.source.place(f"lots.{item}")
            yield from _lot(bought, place, item, lot, batch.on)
    for burn in studio.burns.values():
        for item, lot in burn.lots.items():
            place = burn.source.place(f"lots.{item}")
            yield from _lot(bought, place, item, lot, burn.made.on)
    yield from _counted(studio, bought)
    for incident in studio.incidents.values():
        place = incident.source.place("lot")
        if incident.lot is not None and incident.about.is_item:
            yield from _lot(bought, place, incident.about, incident.lot, date.max)
        elif incident.lot is not None:
            yield problem(place, "lot_of_no_item", {"about": incident.about})


def _counted(studio: Studio, bought: Mapping[Ref, Mapping[str, date]]) -> Iterator[Problem]:
    for count in studio.stock.values():
        for each in count.counted:
            if each.lot is not None:
                place = count.source.place(f"counted.{each.item} {each.lot}")
                yield from _lot(bought, place, each.item, each.lot, count.on)


def alike_lots(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each lot that is another but for capitals, spaces or hyphens.

    An incident about one of them would miss whatever was written down as the other.
    """
    seen: dict[tuple[Ref, str], str] = {}
    for bill in studio.purchases.values():
        for index, line in enumerate(bill.lines):
            plain_lot = re.sub(r"[\W_]", "", line.lot or "").casefold()
            first = seen.setdefault((line.item, plain_lot), line.lot or "")
            if line.lot is not None and first != line.lot:
                details = {"found": line.lot, "other": first, "item": line.item}
                yield problem(bill.source.place(f"lines[{index}].lot"), "lots_alike", details)


def _lot(
    bought: Mapping[Ref, Mapping[str, date]], place: Place, item: Ref, lot: str, day: date
) -> Iterator[Problem]:
    known = bought.get(item, {})
    if lot not in known:
        meant = near(lot, sorted(known))
        yield problem(place, "unknown_lot", {"found": lot, "item": item, "near": meant})
    elif known[lot] > day:
        late = {"found": lot, "item": item, "bought": known[lot], "on": day}
        yield problem(place, "lot_too_late", late)
