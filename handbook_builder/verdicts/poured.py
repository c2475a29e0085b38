"""How a recipe stood on the day that a batch of it was poured, by all that is on file now.

What is told late and dated back speaks of that day too. What speaks against the candle (an
incident, a failure, a vessel that is refused, a limit that it exceeds) must reach every page at
once, so that it is kept apart from what a proof lacks: that is a fault, and stops the pages.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from handbook_builder.once import once
from handbook_builder.reading.kinds.trade import Incident
from handbook_builder.studio.found import burns_by_recipe
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import SUSPENDING, Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.combination import combination_of_candle, within
from handbook_builder.verdicts.copies import copies_among
from handbook_builder.verdicts.incidents import open_on_file
from handbook_builder.verdicts.judge import Judged, Memory, judge
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screening
from handbook_builder.verdicts.seen import seen_on

_AGAINST: Final = frozenset({"candle_failed", "oil_over_max_use", "load_over_max_load"})
_TOO_FEW: Final = frozenset({"too_few_passed", "too_few_pourings"})


@dataclass(frozen=True, slots=True)
class Poured:
    """A recipe on a day: what its proof lacked, what speaks against it, and who suspended it.

    `incidents` were open that day about the product or its proof, by number.
    """

    product: Product
    lacking: tuple[Reason, ...]
    against: tuple[Reason, ...]
    incidents: tuple[Incident, ...]


@once
def poured_on(studio: Studio, recipe: str, day: date) -> Poured:
    """Return how `recipe` stood on `day`, with what is on file now that is dated by then."""
    product = judged_on(studio, recipe, day).products[recipe]
    suspended = {why.details["number"] for why in product.missing if why.code in SUSPENDING}
    return Poured(
        product=product,
        lacking=tuple(_lacking(studio, product)),
        against=tuple(why for why in product.missing if _is_against(product, why)),
        incidents=tuple(
            sorted(
                (one for one in open_on_file(studio, day) if one.number in suspended),
                key=lambda one: one.number,
            )
        ),
    )


def _is_against(product: Product, why: Reason) -> bool:
    """Return whether a reason speaks against the candle; that of incidents has its own place."""
    if why.code == "vessel_not_cleared":
        return product.screened.screening is Screening.REFUSED
    return why.code in _AGAINST


def _lacking(studio: Studio, product: Product) -> Iterator[Reason]:
    """Yield what a proof lacked, but for what is only the other side of a failure."""
    failed = {candle.id for candle in product.evidence.failed}
    for why in product.missing:
        if why.code == "vessel_not_cleared" and not _was_cleared(product):
            yield why
            continue
        if why.code in SUSPENDING or _is_against(product, why):
            continue
        if why.code in _TOO_FEW and _was_enough(studio, product):
            continue
        # A doubt is that a candle may have failed, and this one is known to have.
        if why.code == "missing_candle" and _doubted(why) in failed:
            continue
        yield why


def _was_cleared(product: Product) -> bool:
    """Return whether a vessel was cleared, but for what speaks against it: a no is no clearing.

    What is not sealed needs no test for leaks any more.
    """
    screened = product.screened
    is_open = any(why.code == "not_sealed" for why in screened.against)
    moot = {"leak_untested"} if is_open else set()
    return bool(screened.cleared_by) and {why.code for why in screened.unknown} <= moot


def _doubted(why: Reason) -> object:
    doubt = why.details["why"]
    return doubt.details.get("burn") if isinstance(doubt, Reason) else None


def _was_enough(studio: Studio, product: Product) -> bool:
    """Return whether as many candles were burned as are asked for, of as many pourings.

    One that failed counts here when it was burned as a test is: it passed, for all that anybody
    knew, until its failure was told.
    """
    target, protocol = product.combination, studio.protocol
    fallen = (
        candle
        for candle in whole_tests(product.evidence.failed)
        if within(combination_of_candle(studio, candle.seen.burn.made), target, protocol, 1.0)
    )
    tried = (*product.evidence.passed, *fallen)
    days = {candle.seen.burn.made.on for candle in tried}
    return len(tried) >= protocol.test_candles and len(days) >= protocol.pourings


def whole_tests(candles: Iterable[CandleVerdict]) -> Iterator[CandleVerdict]:
    """Yield the candles that were burned as a test is, to the end, whether or not they failed."""
    for candle in candles:
        burn = candle.seen.burn
        is_proof = not (burn.is_misuse or burn.is_ladder or candle.seen.is_void)
        if is_proof and not candle.gaps:
            yield candle


# --- One recipe on any day, from what bears on it and nothing else ---


def judged_on(studio: Studio, recipe: str, day: date) -> Judged:
    """Return the verdicts on a recipe, and on every test candle that bears on it, as of a day."""
    return judge(bearing(studio, recipe), day, _memory(studio), recipe)


def bearing(studio: Studio, recipe: str) -> Studio:
    """Return the studio with what may speak about one recipe."""
    return _bearing(studio, studio.recipes[recipe].vessel)


@once
def _bearing(studio: Studio, vessel: str) -> Studio:
    """Return the studio with the recipes and candles that may speak about those of a vessel.

    Those are of every recipe that is made or was tested in it: without the same vessel no candle is
    alike. A candle whose record copies another's needs that other.
    """
    names = {ident for ident, one in studio.recipes.items() if one.vessel == vessel}
    names |= {burn.recipe for burn in studio.burns.values() if burn.made.vessel == vessel}
    filed, copies = burns_by_recipe(studio), _copies(studio)
    near = {burn.source.id for name in names for burn in filed.get(name, ())}
    near |= {twin for ident in near for twin in copies.get(ident, ())}
    recipes = {name: studio.recipes[name] for name in sorted(names)}
    burned = {ident: studio.burns[ident] for ident in sorted(near)}
    vessels = {one.made.vessel for one in burned.values()}
    vessels |= {one.vessel for one in recipes.values()}
    return replace(
        studio,
        recipes=recipes,
        burns=burned,
        vessels={one: studio.vessels[one] for one in sorted(vessels)},
    )


@once
def _copies(studio: Studio) -> dict[str, tuple[str, ...]]:
    seen = (seen_on(burn, date.max) for burn in studio.burns.values())
    return dict(copies_among(candle for candle in seen if candle is not None))


@once
def _memory(studio: Studio) -> Memory:
    return Memory(repeats=frozenset(_copies(studio)))
