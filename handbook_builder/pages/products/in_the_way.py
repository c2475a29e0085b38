"""What stands in the way of a product, in the order in which a maker must hear it.

A vessel that is refused comes first, with all its reasons. Nothing advises to pour test candles
where no test candle makes sense.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from handbook_builder.pages.desk import Desk, Said, item_link
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.more_tests import OVER, Sense, more_tests
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screening

_POURING_HELPS: Final = (Sense.MORE, Sense.BURNING, Sense.ENOUGH)


@dataclass(frozen=True, slots=True)
class InTheWay:
    """One thing that stands in the way, by its code, and how it is said."""

    code: str
    said: Said


def in_the_way(desk: Desk, product: Product) -> tuple[InTheWay, ...]:
    """Return what stands in the way of a product."""
    reasons = _one_a_candle(product.missing)
    told = [InTheWay(reason.code, _said(desk, product, reason)) for reason in reasons]
    if product.screened.screening is Screening.REFUSED:
        told.sort(key=lambda one: one.code != "vessel_not_cleared")
    return tuple(told)


def _one_a_candle(reasons: Iterable[Reason]) -> list[Reason]:
    """Return the reasons, what one candle lacks in several cycles as one: it has one cause."""
    found: dict[object, Reason] = {}
    for at, reason in enumerate(reasons):
        why = reason.details.get("why")
        if not isinstance(why, Reason) or why.code != "reading_unsaid":
            found[at] = reason
            continue
        key = (reason.code, why.details["burn"], why.details["reading"])
        found[key] = _together(found[key], why) if key in found else reason
    return list(found.values())


def _together(first: Reason, why: Reason) -> Reason:
    """Return a reason that speaks of the cycle of another one too."""
    inner = first.details["why"]
    assert isinstance(inner, Reason)  # noqa: S101 -- only such reasons are put together
    cycles = inner.details["cycle"]
    several = cycles if isinstance(cycles, tuple) else (cycles,)
    cycle = (*several, why.details["cycle"])
    inner = replace(inner, details={**inner.details, "cycle": cycle})
    return replace(first, details={**first.details, "why": inner})


def said_in_the_way(desk: Desk, product: Product) -> tuple[Said, ...]:
    """Return the sentences of what stands in the way."""
    return tuple(obstacle.said for obstacle in in_the_way(desk, product))


def refusal_of(desk: Desk, product: Product) -> tuple[str, ...]:
    """Return why no weights are told at all: a refused vessel, or a load or share over a limit."""
    refused = product.screened.screening is Screening.REFUSED
    vessel = (_screening(desk, product),) if refused else ()
    return (*vessel, *(desk.words.say(reason) for reason in product.missing if reason.code in OVER))


def _said(desk: Desk, product: Product, reason: Reason) -> Said:
    said = desk.said(reason)
    if reason.code == "vessel_not_cleared":
        return replace(said, text=_screening(desk, product), mend=_vessel_mend(desk, product))
    sense = more_tests(product, desk.studio.protocol.test_candles).sense
    if reason.code == "too_few_passed" and sense not in _POURING_HELPS:
        return replace(said, text=desk.phrase("way.passed", **reason.details), mend="")
    return said


def _screening(desk: Desk, product: Product) -> str:
    """Return how the vessel was screened, with every reason."""
    screened = product.screened
    vessel = item_link("vessels", screened.vessel.source.id).title
    why = " ".join(desk.words.say(reason) for reason in screened.reasons)
    return desk.phrase(f"way.screening.{screened.screening.value}", vessel=vessel, why=why)


def _vessel_mend(desk: Desk, product: Product) -> str:
    screened = product.screened
    if screened.screening is Screening.REFUSED:
        return desk.phrase("way.another_vessel")
    return " ".join(desk.words.mend(reason) for reason in screened.reasons)
