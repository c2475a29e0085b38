"""What no studio may have poured, and what could not be traced: faults of the records.

A batch must be of a make-up that was proven on the day it was poured. It is asked of that day, so
that a new specification that came later makes no older batch wrong. What speaks against it, that
day or later, is told by its verdict and stops no page.
A lot must be on a bill: in a mistyped one, an incident about the right one would find nothing.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import chain

from handbook_builder.problems import Place, Problem, problem
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.found import lots_first_bought
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.code import is_code, plain
from handbook_builder.verdicts.former import code_on, is_former
from handbook_builder.verdicts.judge import burned_of
from handbook_builder.verdicts.poured import bearing, judged_on, poured_on, whole_tests


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
    """Yield each batch of a make-up that had no proof on its day.

    One of a former make-up is never "as proven", as its page says; but something must have been.
    What speaks against the candle that day is no fault: the pages must tell it at once.
    """
    for batch in studio.batches.values():
        recipe = batch.recipe
        if is_former(studio, batch):
            passed, needed = len(_tried(studio, recipe, batch.on)), studio.protocol.test_candles
            if passed < needed:
                details = {"on": batch.on, "recipe": recipe, "passed": passed, "needed": needed}
                yield Unfounded(batch.source.place("code"), "batch_never_proven", details)
            continue
        poured = poured_on(studio, recipe, batch.on)
        if poured.lacking:
            since = _approved_after(studio, recipe, batch.on)
            details = {"on": batch.on, "recipe": recipe, "since": since}
            code = "batch_unproven" if since is None else "batch_too_early"
            yield Unfounded(batch.source.place("on"), code, details, poured.product)


def _tried(studio: Studio, recipe: str, day: date) -> set[str]:
    """Return the candles that had been tested by a day as any make-up that a recipe ever was."""
    judged = judged_on(studio, recipe, day)
    own = whole_tests(one.candle for one in burned_of(judged).get(recipe, ()))
    return {candle.id for candle in (*own, *judged.products[recipe].evidence.passed)}


def _approved_after(studio: Studio, recipe: str, on: date) -> date | None:
    """Return the first day after `on` on which a recipe is approved, if there is one."""
    days = _turning_days(bearing(studio, recipe), studio.recipes[recipe])
    for day in sorted(turning for turning in days if turning > on):
        if poured_on(studio, recipe, day).product.status is Status.APPROVED:
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
