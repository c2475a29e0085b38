"""What went out of the store: each batch and each test candle took something of each item."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.problems import Place
from handbook_builder.reading.kinds.making import Burn, items_of, made_of
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Taken:
    """What one batch or test candle took of an item, in grams or pieces.

    `lot` is None where the record does not say from which; `place` is where it does. `amount` is
    None where a batch did not weigh it: nobody knows then, and nothing is guessed.
    """

    item: Ref
    lot: str | None
    amount: float | None
    on: date
    place: Place
    batch: str | None = None
    burn: str | None = None


def takings(studio: Studio, day: date) -> Iterator[Taken]:
    """Yield everything that was taken by `day`."""
    for batch in studio.batches.values():
        if batch.on <= day:
            yield from _by_batch(studio, batch)
    for burn in studio.burns.values():
        if burn.made.on <= day:
            yield from _by_burn(burn)


def _by_batch(studio: Studio, batch: Batch) -> Iterator[Taken]:
    for item in items_in(studio, batch):
        place = batch.source.place(f"lots.{item}")
        amount, lot = _amount(studio, batch, item), batch.lots.get(item)
        yield Taken(item, lot, amount, batch.on, place, batch=batch.source.id)


def items_in(studio: Studio, batch: Batch) -> tuple[Ref, ...]:
    """Return what went into a batch: what it names itself, and of other sorts what its recipe has.

    A recipe that was changed later would else add its new wick to the one that was used.
    """
    own = dict.fromkeys((*batch.lots, *batch.weighed_g))
    sorts = {item.folder for item in own if item.burns}
    recipe = studio.recipes[batch.recipe]
    return tuple({**own, **{one: None for one in items_of(recipe) if one.folder not in sorts}})


def _amount(studio: Studio, batch: Batch, item: Ref) -> float | None:
    """Return what a batch took of an item, or None when that was not weighed."""
    if item.is_weighed:
        return batch.weighed_g.get(item)
    recipe = studio.recipes[batch.recipe]
    if item == Ref.to("wicks", recipe.wick):
        return float(batch.made * recipe.wicks)
    is_packed = item.folder == "packaging"
    return float(batch.made * recipe.packaging.get(item.id, 1) if is_packed else batch.made)


def _by_burn(burn: Burn) -> Iterator[Taken]:
    for item in dict.fromkeys((*made_of(burn.made), *burn.lots)):
        place = burn.source.place(f"lots.{item}")
        amount, lot = _of_candle(burn, item), burn.lots.get(item)
        yield Taken(item, lot, amount, burn.made.on, place, burn=burn.source.id)


def _of_candle(burn: Burn, item: Ref) -> float:
    """Return what a test candle took of an item: what was weighed into it, or its pieces."""
    made = burn.made
    weighed = {"waxes": made.wax, "fragrances": made.fragrance, "colorants": made.colorant}
    if item.folder in weighed:
        return weighed[item.folder].get(item.id, 0.0)
    return float(made.wicks if item.folder == "wicks" else 1)
