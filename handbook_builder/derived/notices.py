"""What is no fault of the records, and yet should be looked at."""

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from posixpath import normpath, relpath
from typing import Final
from urllib.parse import unquote

from handbook_builder.derived.beside import beside_notices, sources_of
from handbook_builder.derived.hands import Guides, forbidden_work, unknown_pages
from handbook_builder.derived.lot_balance import LotBalance, lot_balances
from handbook_builder.derived.photos import IN_NOTE, photo_notices
from handbook_builder.notices import notice
from handbook_builder.once import once
from handbook_builder.problems import Place, Problem, in_order
from handbook_builder.reading.fields import near
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.later import planned_later
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.batch_incidents import known_when_poured, open_when_poured
from handbook_builder.verdicts.batches import against_that_day
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.verdicts.former import is_former

# A code knows the fill to a tenth of a gram, after the last digits that units blur are off.
_BLUR: Final = 7
# A slip of a decimal point: common practice, no published source.
FAR_PRICE: Final = 10.0
_NEARLY: Final = 1 - 1e-9


def notices(studio: Studio, day: date, guides: Guides) -> tuple[Problem, ...]:
    """Return every notice about the records as of `day`, by file and line."""
    return in_order((*unjudged_notices(studio, day, guides), *_poured(studio, day)))


def unjudged_notices(studio: Studio, day: date, guides: Guides) -> tuple[Problem, ...]:
    """Return the notices that no verdict is asked for: the floor's studio has no suppliers.

    Who answered for a vessel is part of its verdict. How a batch stands is told there all the same.
    """
    return in_order(
        (
            *_overdrawn(studio, day),
            *fill_notices(studio, day),
            *_may_not(studio, day),
            *_no_guides(studio, guides),
            *_former(studio, day),
            *_planned(studio, day),
            *_photos(studio),
            *photo_notices(studio),
            *_prices(studio),
            *beside_notices(studio),
        )
    )


def _former(studio: Studio, day: date) -> Iterator[Problem]:
    """Yield each batch whose code is not its recipe's on that day."""
    for batch in studio.batches.values():
        if batch.on <= day and is_former(studio, batch):
            yield notice(batch.source.place("code"), "batch_former", {"recipe": batch.recipe})


def _poured(studio: Studio, day: date) -> Iterator[Problem]:
    """Yield each batch that something on file speaks against, as of the day that it was poured."""
    for batch in studio.batches.values():
        if batch.on <= day:
            yield from batch_notices(studio, batch)


def batch_notices(studio: Studio, batch: Batch) -> Iterator[Problem]:
    """Yield what speaks against a batch on its own day: candles, vessel, limits, incidents."""
    place = batch.source.place("on")
    against = against_that_day(studio, batch)
    if against:
        where = ", ".join(dict.fromkeys(str(reason.place) for reason in against))
        details = {"on": batch.on, "recipe": batch.recipe, "where": where}
        yield notice(place, "batch_disproven", details)
    former = is_former(studio, batch)
    for incident in known_when_poured(batch, open_when_poured(studio, batch, is_former=former)):
        details = {"on": batch.on, "number": incident.number, "since": incident.on}
        yield notice(place, "batch_under_incident", {**details, "file": incident.source.file})


def _photos(studio: Studio) -> Iterator[Problem]:
    """Yield each picture of a note that is no file among the records."""
    for source in sources_of(studio):
        for match in IN_NOTE.finditer(source.body):
            found = unquote(match[2] or match[3])
            path = normpath(f"{source.kind}/{found}")
            if "://" not in found and path not in studio.photos:
                hint = near(path, list(studio.photos))
                told = f" (did you mean '{relpath(hint, source.kind or '.')}'?)" if hint else ""
                yield notice(source.place(), "photo_missing", {"found": found, "near": told})


def _prices(studio: Studio) -> Iterator[Problem]:
    """Yield each line of a bill whose price is ten times that of any other bill, or a tenth."""
    each: dict[tuple[Ref, str], list[tuple[Place, float]]] = defaultdict(list)
    for bill in studio.purchases.values():
        for index, line in enumerate(bill.lines):
            place, amount = bill.source.place(f"lines[{index}].price"), line.quantity
            of_one = float(line.price) / amount.value if amount.value else 0.0
            each[line.item, amount.dimension.word].append((place, of_one))
    for (item, _), lines in each.items():
        yield from _far_off(item, lines)


def _far_off(item: Ref, lines: Sequence[tuple[Place, float]]) -> Iterator[Problem]:
    for at, (place, of_one) in enumerate(lines):
        others = [one for other, (_, one) in enumerate(lines) if other != at and one > 0]
        if of_one <= 0 or not others:
            continue
        times = min((of_one / one for one in others), key=lambda ratio: abs(math.log(ratio)))
        if times > FAR_PRICE * _NEARLY or times < 1 / (FAR_PRICE * _NEARLY):
            yield notice(place, "price_far_off", {"item": item, "times": f"{times:.3g}"})


def _planned(studio: Studio, day: date) -> Iterator[Problem]:
    """Yield each make and each end of a recipe that counts for nothing yet."""
    for place, key, on in planned_later(studio, day):
        yield notice(place, "planned_later", {"key": key, "on": on})


def amount_shown(balance: LotBalance, amount: float) -> str:
    """Return an amount of a lot with its unit."""
    return f"{amount:.1f} g" if balance.unit == "g" else f"{amount:.0f} {balance.unit}"


def _overdrawn(studio: Studio, day: date) -> Iterator[Problem]:
    for (item, lot), one in lot_balances(studio, day).items():
        if one.is_overdrawn:
            details = {
                "item": item, "lot": lot, "taken": amount_shown(one, one.amount),
                "bought": amount_shown(one, one.bought), "less": _less(one),
            }  # fmt: skip
            yield notice(one.taken[-1].place, "lot_overdrawn", details)


def _less(one: LotBalance) -> str:
    """Return what a count found missing of a lot, or nothing."""
    missing = amount_shown(one, one.missing)
    return f", of which a count found {missing} missing" if one.missing else ""


def fill_notices(studio: Studio, day: date) -> Iterator[Problem]:
    """Yield each recipe that was poured, and whose fill is not written in grams."""
    poured = {batch.recipe for batch in studio.batches.values() if batch.on <= day}
    poured |= {burn.recipe for burn in studio.burns.values() if burn.made.on <= day}
    for ident in sorted(poured):
        recipe = studio.recipes[ident]
        if recipe.fill.mass_g is None:
            grams = f"{round(net_fill(studio, recipe).net_g, _BLUR):.1f}"
            details = {"recipe": ident, "grams": grams}
            yield notice(recipe.source.place("fill"), "fill_unwritten", details)


@once
def fills_unwritten(studio: Studio, day: date) -> Mapping[str, Problem]:
    """Return the notices about fills that are not written in grams, by the recipe's file."""
    return {found.place.file: found for found in fill_notices(studio, day)}


def _may_not(studio: Studio, day: date) -> Iterator[Problem]:
    for reason in forbidden_work(studio, day):
        yield notice(reason.place, "may_not", reason.details)


def _no_guides(studio: Studio, guides: Guides) -> Iterator[Problem]:
    """Yield each reading of a page that is no guide; nothing where no guides are known."""
    for place, page in unknown_pages(studio, guides) if guides else ():
        hint = near(page, list(guides))
        known = f" (did you mean '{hint}'?)" if hint else ""
        yield notice(place, "no_guide", {"found": page, "near": known})
