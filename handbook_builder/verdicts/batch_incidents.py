"""What incidents do to a batch: they suspend it, and some leave a mark when they are closed."""

from collections.abc import Iterable, Iterator

from handbook_builder.reading.kinds.trade import Batch, Incident
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import SUSPENDING, proof_lots
from handbook_builder.verdicts.incidents import (
    Touch,
    is_open,
    known_from,
    open_incident,
    open_incident_lot,
    open_on_file,
    touch,
)
from handbook_builder.verdicts.judge import Judged
from handbook_builder.verdicts.poured import poured_on
from handbook_builder.verdicts.reason import Reason


def suspended(studio: Studio, batch: Batch, incidents: Iterable[Incident]) -> Iterator[Reason]:
    """Yield each open incident that touches a batch."""
    for incident in incidents:
        if incident.lot is None:
            yield open_incident(incident)
        else:
            is_known = touch(studio, incident, batch) is not Touch.LOT_UNKNOWN
            yield open_incident_lot(incident, batch, is_known=is_known)


def proof_suspended(
    judged: Judged, batch: Batch, incidents: Iterable[Incident]
) -> Iterator[Reason]:
    """Yield each other open incident that suspends the product: nothing proves the batch then.

    The product is asked as it is, and as it was when the batch was poured: since then another make
    of something in it may have had a proof of its own.
    """
    known: set[object] = {incident.number for incident in incidents}
    studio, poured = judged.studio, poured_on(judged.studio, batch.recipe, batch.on)
    for reason in (
        *(one for one in judged.products[batch.recipe].missing if one.code in SUSPENDING),
        *(open_incident(one) for one in poured.incidents if is_open(one, judged.as_of)),
        *proof_lots(studio, poured.product.evidence, judged.as_of),
    ):
        if reason.details["number"] not in known:
            known.add(reason.details["number"])
            yield reason


def open_when_poured(studio: Studio, batch: Batch, *, is_former: bool) -> tuple[Incident, ...]:
    """Return the incidents that were open about a batch, or its product, on its day, by number.

    What a former make-up was is not on file: nothing but the batch itself can be asked of it. One
    that is about the very batch came after it, be it on the same day.
    """
    itself = Ref.to("batches", batch.source.id)
    of_product = () if is_former else poured_on(studio, batch.recipe, batch.on).incidents
    touching = (one for one in open_on_file(studio, batch.on) if touch(studio, one, batch))
    found = {one.number: one for one in (*of_product, *touching) if one.about != itself}
    return tuple(found[number] for number in sorted(found))


def known_when_poured(batch: Batch, incidents: Iterable[Incident]) -> Iterator[Incident]:
    """Yield those of `incidents`, open on the day of the batch, that were known by then."""
    yield from (one for one in incidents if known_from(one) <= batch.on)


def poured_against(batch: Batch, incidents: Iterable[Incident]) -> Iterator[Reason]:
    """Yield each incident that was known when the batch was poured: closing it proves nothing.

    `incidents` were open on the day of the batch.
    """
    for one in known_when_poured(batch, incidents):
        details = {"on": batch.on, "number": one.number}
        yield Reason("poured_while_suspended", batch.source.place("on"), details)


def poured_before_told(batch: Batch, incidents: Iterable[Incident]) -> Iterator[Reason]:
    """Yield each incident that nobody knew of yet when the batch was poured."""
    for one in incidents:
        if known_from(one) > batch.on:
            details = {"on": batch.on, "number": one.number, "told": known_from(one)}
            yield Reason("poured_before_told", batch.source.place("on"), details)


def given_anyway(judged: Judged, batch: Batch) -> Iterator[Reason]:
    """Yield candles that went out on a day on which an incident was open about them."""
    for index, one in enumerate(batch.given):
        if one.on > judged.as_of or one.out < 0:
            continue
        for incident in open_on_file(judged.studio, one.on):
            if touch(judged.studio, incident, batch) is not None:
                details = {"count": one.count, "on": one.on, "number": incident.number}
                place = batch.source.place(f"given[{index}]")
                yield Reason("given_while_suspended", place, details)
