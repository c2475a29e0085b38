"""One production run: whether it is the candle that was proven, and whether it may go out.

That its make-up was approved on the day it was poured is not asked here: a batch for which that
does not hold is a fault of the records, and no handbook is made of them.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from handbook_builder.figures.load import MakeUp, measured_make_up
from handbook_builder.once import once
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import WEIGHED_FOLDERS, Ref
from handbook_builder.studio.found import first_in_lots
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import REACH, SUSPENDING
from handbook_builder.verdicts.candles import candle_failed
from handbook_builder.verdicts.code import plain
from handbook_builder.verdicts.combination import (
    allowed_off,
    code_of_combination,
    combination_of_recipe,
)
from handbook_builder.verdicts.fills import make_up, net_fill
from handbook_builder.verdicts.hands import may_not
from handbook_builder.verdicts.incidents import (
    Touch,
    held_by,
    open_about_batch,
    open_incident,
    open_incident_lot,
    open_on_file,
    touch,
)
from handbook_builder.verdicts.judge import Judged, failed_in
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.screening import Screening, vessel_not_cleared


class BatchState(StrEnum):
    """The words for a batch, in the order in which they are tried."""

    SUSPENDED = "suspended"
    DISPROVEN = "disproven"
    FORMER = "former"
    UNLIKE = "unlike"
    UNWEIGHED = "unweighed"
    CURING = "curing"
    AS_PROVEN = "as_proven"


@dataclass(frozen=True, slots=True)
class BatchVerdict:
    """How a batch stands, why, and what of it cannot be traced or should not have gone out."""

    state: BatchState
    incidents: tuple[Incident, ...]
    reasons: tuple[Reason, ...]
    notes: tuple[Reason, ...]


def batch_verdict(judged: Judged, batch: Batch) -> BatchVerdict:
    """Return how `batch` stands as of the day of `judged`."""
    studio, day = judged.studio, judged.as_of
    incidents = open_about_batch(studio, batch, day)
    former = tuple(_former(studio, batch))
    found = {
        BatchState.SUSPENDED: (
            *_suspended(studio, batch, incidents),
            *(() if former else _proof_suspended(judged, batch, incidents)),
        ),
        BatchState.DISPROVEN: tuple(_disproven(judged, batch)),
        BatchState.FORMER: former,
        # What a former make-up should have weighed is not on file any more.
        BatchState.UNLIKE: () if former else (*_extra(studio, batch), *_off(studio, batch)),
        BatchState.UNWEIGHED: () if former else tuple(_unweighed(studio, batch)),
        BatchState.CURING: tuple(_curing(studio, batch, day)),
    }
    return BatchVerdict(
        state=next((state for state, why in found.items() if why), BatchState.AS_PROVEN),
        incidents=incidents,
        reasons=tuple(reason for why in found.values() for reason in why),
        notes=(
            *_untraced(studio, batch),
            *_poured_anyway(studio, batch),
            *_given_anyway(judged, batch),
            *_given_uncured(judged, batch),
            *may_not(studio, batch.source.place("by"), batch.by, "pour"),
        ),
    )


def is_former(studio: Studio, batch: Batch) -> bool:
    """Return whether a batch was poured as a candle that its recipe is no more.

    A batch bears the code of the combination that it was poured as; without one it is its
    recipe's. The code is that of the recipe on the day of the batch.
    """
    if batch.code is None:
        return False
    return plain(code_on(studio, batch.recipe, batch.on)) != plain(batch.code)


@once
def code_on(studio: Studio, recipe: str, day: date) -> str:
    """Return the code of what a recipe's candle is on `day`."""
    return code_of_combination(combination_of_recipe(studio, studio.recipes[recipe], day))


def cured_on(studio: Studio, batch: Batch) -> date:
    """Return the first day on which the candles of a batch are cured: as the slowest wax."""
    waxes = studio.recipes[batch.recipe].wax
    return batch.on + timedelta(days=math.ceil(max(studio.waxes[wax].cure_days for wax in waxes)))


def _former(studio: Studio, batch: Batch) -> Iterator[Reason]:
    if is_former(studio, batch):
        now = code_on(studio, batch.recipe, batch.on)
        details = {"recipe": batch.recipe, "code": batch.code, "now": now}
        yield Reason("batch_former", batch.source.place("code"), details)


def _curing(studio: Studio, batch: Batch, day: date) -> Iterator[Reason]:
    until = cured_on(studio, batch)
    if day < until:
        yield Reason("batch_curing", batch.source.place("on"), {"until": until})


def _given_uncured(judged: Judged, batch: Batch) -> Iterator[Reason]:
    """Yield candles that went out before they were cured."""
    until = cured_on(judged.studio, batch)
    for index, one in enumerate(batch.given):
        if one.out > 0 and one.on <= judged.as_of and one.on < until:
            details = {"count": one.count, "on": one.on, "until": until}
            yield Reason("given_uncured", batch.source.place(f"given[{index}]"), details)


def _suspended(studio: Studio, batch: Batch, incidents: tuple[Incident, ...]) -> Iterator[Reason]:
    for incident in incidents:
        if incident.lot is None:
            yield open_incident(incident)
        else:
            is_known = touch(studio, incident, batch) is not Touch.LOT_UNKNOWN
            yield open_incident_lot(incident, batch, is_known=is_known)


def _proof_suspended(
    judged: Judged, batch: Batch, incidents: tuple[Incident, ...]
) -> Iterator[Reason]:
    """Yield each other open incident that suspends the product: nothing proves the batch then."""
    known = {incident.number for incident in incidents}
    for reason in judged.products[batch.recipe].missing:
        if reason.code in SUSPENDING and reason.details["number"] not in known:
            yield reason


def _disproven(judged: Judged, batch: Batch) -> Iterator[Reason]:
    """Yield what has spoken against the batch's own make-up, whenever it was found out."""
    studio, recipe = judged.studio, judged.studio.recipes[batch.recipe]
    poured = combination_of_recipe(studio, recipe, batch.on)
    for burn in () if is_former(studio, batch) else failed_in(judged):
        if burn.is_within(poured, studio.protocol, REACH):
            yield candle_failed(burn.candle)
    vessel = judged.vessels[recipe.vessel]
    if vessel.screening is Screening.REFUSED:
        yield vessel_not_cleared(vessel)


def _extra(studio: Studio, batch: Batch) -> Iterator[Reason]:
    """Yield each thing that went in although the recipe does not hold it."""
    held = frozenset(held_by(studio.recipes[batch.recipe]))
    for key, items in (("lots", batch.lots), ("weighed", batch.weighed_g)):
        for item in items:
            if item not in held and item.burns:
                yield Reason(
                    "batch_item_extra", batch.source.place(f"{key}.{item}"), {"item": item}
                )


def _mixed(recipe: Recipe) -> Iterator[Ref]:
    """Yield what is weighed into the pitcher."""
    yield from (item for item in held_by(recipe) if item.is_weighed)


def _unweighed(studio: Studio, batch: Batch) -> Iterator[Reason]:
    if not batch.weighed_g:
        yield Reason("batch_not_weighed", batch.source.place())
        return
    for item in _mixed(studio.recipes[batch.recipe]):
        if not batch.weighed_g.get(item):
            yield Reason("batch_item_unweighed", batch.source.place("weighed"), {"item": item})


def measured(studio: Studio, batch: Batch) -> MakeUp | None:
    """Return the make-up that was weighed, or None while any part of it was not."""
    if any(True for _ in _unweighed(studio, batch)):
        return None
    waxes, oils, colors = (
        {item.id: mass_g for item, mass_g in batch.weighed_g.items() if item.folder == folder}
        for folder in WEIGHED_FOLDERS
    )
    return measured_make_up(waxes, oils, colors)


def fill_g(studio: Studio, batch: Batch) -> float | None:
    """Return the net fill of one candle by the masses that went in, in grams.

    What stays in the pitcher, by the studio's own share, is taken off. None while any part was
    not weighed.
    """
    if measured(studio, batch) is None:
        return None
    poured_g = math.fsum(mass_g for item, mass_g in batch.weighed_g.items() if item.is_weighed)
    return poured_g * (1.0 - studio.info.pitcher_loss) / batch.made


def _off(studio: Studio, batch: Batch) -> Iterator[Reason]:
    """Yield each measured factor that lies outside the protocol's tolerances."""
    found, due = measured(studio, batch), make_up(studio.recipes[batch.recipe])
    if found is not None:
        yield from _shares_off(studio, batch, found, due)
    yield from _fill_off(studio, batch)


def _shares_off(studio: Studio, batch: Batch, found: MakeUp, due: MakeUp) -> Iterator[Reason]:
    """Yield each share of wax, oil and dye that lies outside the tolerances."""
    for folder, measured_share, due_share in (
        ("waxes", found.wax, due.wax),
        ("fragrances", found.fragrance, due.fragrance),
        ("colorants", found.colorant, due.colorant),
    ):
        for ident, share in due_share.items():
            allowed = allowed_off(share, studio.protocol)
            if exceeds(abs(measured_share[ident] - share), allowed):
                item = Ref.to(folder, ident)
                yield _share_off(batch, item, measured_share[ident], share, allowed)


def _share_off(batch: Batch, item: Ref, found: float, due: float, allowed: float) -> Reason:
    details = {
        "item": item.id,
        "is": quantity(found, "share"),
        "due": quantity(due, "share"),
        "allowed": quantity(allowed, "share"),
    }
    code = (
        "batch_wax_off" if item.folder == "waxes"
        else "batch_oil_off" if item.folder == "fragrances"
        else "batch_colorant_off"
    )  # fmt: skip
    return Reason(code, batch.source.place(f"weighed.{item}"), details)


def _fill_off(studio: Studio, batch: Batch) -> Iterator[Reason]:
    """Yield when the candles are not filled as the recipe says.

    Filled candles that were weighed say it best; without them, what went into the pitcher does.
    """
    due_g = net_fill(studio, studio.recipes[batch.recipe]).net_g
    allowed = studio.protocol.fill_tolerance
    poured_g = fill_g(studio, batch)
    masses = batch.net_g or (() if poured_g is None else (poured_g,))
    off = [mass for mass in masses if exceeds(abs(mass - due_g), allowed * due_g)]
    if off and batch.net_g:
        details = {
            "off": len(off),
            "weighed": len(masses),
            "least": quantity(min(off), "g"),
            "most": quantity(max(off), "g"),
            "due": quantity(due_g, "g"),
            "allowed": quantity(allowed, "share"),
        }
        yield Reason("batch_net_off", batch.source.place("net"), details)
    elif off:
        details = {
            "is": quantity(off[0], "g"),
            "due": quantity(due_g, "g"),
            "allowed": quantity(allowed, "share"),
        }
        yield Reason("batch_fill_off", batch.source.place("weighed"), details)


def _untraced(studio: Studio, batch: Batch) -> Iterator[Reason]:
    """Yield each thing in the batch that came in lots, when it does not say which it used."""
    in_lots = first_in_lots(studio)
    for item in held_by(studio.recipes[batch.recipe]):
        if in_lots.get(item, date.max) <= batch.on and item not in batch.lots:
            yield Reason("batch_lot_missing", batch.source.place("lots"), {"item": item})


def _poured_anyway(studio: Studio, batch: Batch) -> Iterator[Reason]:
    """Yield the incidents that were open about the batch, or a lot in it, when it was poured."""
    for incident in open_on_file(studio, batch.on):
        if touch(studio, incident, batch) is not None:
            details = {"on": batch.on, "number": incident.number}
            yield Reason("poured_while_suspended", batch.source.place("on"), details)


def _given_anyway(judged: Judged, batch: Batch) -> Iterator[Reason]:
    """Yield candles that went out on a day on which an incident was open about them."""
    for index, one in enumerate(batch.given):
        if one.on > judged.as_of or one.out < 0:
            continue
        for incident in open_on_file(judged.studio, one.on):
            if touch(judged.studio, incident, batch) is not None:
                details = {"count": one.count, "on": one.on, "number": incident.number}
                place = batch.source.place(f"given[{index}]")
                yield Reason("given_while_suspended", place, details)
