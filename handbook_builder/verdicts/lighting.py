"""When a test candle may be lit, so that the cycle is not spoiled, and when it must not be."""

import math
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Final

from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import REACH, Burned
from handbook_builder.verdicts.candles import candle_failed
from handbook_builder.verdicts.incidents import open_about_recipe, open_incident
from handbook_builder.verdicts.judge import Judged, failed_in
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.screening import Screening, vessel_not_cleared
from handbook_builder.verdicts.seen import Seen

# What a cycle lacks until the candle has ended, and only then for good.
STILL_TO_COME: Final = frozenset({"not_ended", "after_smoke_missing"})


def cure_days(studio: Studio, waxes: frozenset[str]) -> int:
    """Return for how many whole days a candle of `waxes` must cure: as the slowest of them."""
    return math.ceil(max(studio.waxes[wax].cure_days for wax in waxes))


def cured_on(studio: Studio, seen: Seen) -> date:
    """Return the first day on which a candle may be lit for the first time."""
    made = seen.burn.made
    return made.on + timedelta(days=cure_days(studio, frozenset(made.wax)))


def lit_from(studio: Studio, seen: Seen) -> When:
    """Return from when the candle may be lit: cured, or rested since every cycle that is seen.

    The time of day is given when only that makes the rest long enough.
    """
    rests = [_rested_from(cycle.cycle, studio.protocol.rest_h) for cycle in seen.cycles]
    return max(rests, key=_moment) if rests else When(cured_on(studio, seen))


def _moment(when: When) -> datetime:
    return datetime.combine(when.day, when.at or time.min)


def _rested_from(cycle: Cycle, rest_h: float) -> When:
    """Return from when the candle is rested after `cycle`.

    Without a time it may have been lit at the end of its day; without its hours, on another day.
    """
    tomorrow = When(cycle.on.day + timedelta(days=1))
    if cycle.burned_h is None:
        return tomorrow
    minutes = math.ceil((cycle.burned_h + rest_h) * 60 - 1e-8)  # records tell time to the minute
    moment = _moment(tomorrow if cycle.on.at is None else cycle.on) + timedelta(minutes=minutes)
    return When(moment.date(), moment.time())


def spoiled(burned: Burned) -> tuple[Reason, ...]:
    """Return why a candle that burns can no longer pass, as its record stands."""
    return tuple(gap for gap in burned.candle.gaps if gap.code not in STILL_TO_COME)


def forbidden(judged: Judged, burned: Burned) -> tuple[Reason, ...]:
    """Return why a candle must not be lit, cured and rested as it may be.

    Its vessel is not cleared for heat, an open incident touches its product, or a candle of the
    same make-up failed.
    """
    return (
        *_vessel(judged, burned),
        *_incidents(judged, burned),
        *_failed(judged, burned),
    )


def _vessel(judged: Judged, burned: Burned) -> Iterator[Reason]:
    screened = judged.vessels[burned.candle.seen.burn.made.vessel]
    if screened.screening is not Screening.CLEARED:
        yield vessel_not_cleared(screened)


def _incidents(judged: Judged, burned: Burned) -> Iterator[Reason]:
    recipe = judged.studio.recipes[burned.candle.seen.burn.recipe]
    touching = open_about_recipe(judged.studio, recipe, judged.as_of)
    yield from (open_incident(incident) for incident in touching)


def _failed(judged: Judged, burned: Burned) -> Iterator[Reason]:
    for burn in failed_in(judged):
        if burn.is_within(burned.combination, judged.studio.protocol, REACH):
            yield candle_failed(burn.candle)
