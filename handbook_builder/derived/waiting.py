"""Test candles that wait for their next flame: what cures, what rests, what may be lit."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.remaining import Left, left_of
from handbook_builder.figures.schedule import (
    cycles_a_day,
    cycles_for,
    last_cycle_on,
    starts_from,
)
from handbook_builder.reading.fields import When
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.lighting import cured_on, forbidden, lit_from, spoiled
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.verdicts.reason import Reason

# No standard speaks of it: these two are the project's own, and said so on the page.
OVERDUE_UNLIT_DAYS: Final = 14
OVERDUE_LIT_DAYS: Final = 7


class Stage(StrEnum):
    """Where a test candle stands between pouring and its end."""

    CURING = "curing"
    CURED = "cured"
    RESTING = "resting"
    BURNING = "burning"


@dataclass(frozen=True, slots=True)
class Waiting:
    """A test candle that has not come to its end.

    `next_lit` is the first time at which it may be lit, by cure, rest and the studio's habit; when
    only the habit makes it wait for another day, `rested_from` says since when it is rested;
    `waited_days` says for how long it could have been, when that is too long. `ends_on` is the
    earliest day of its last cycle with a place on every day, None when its life is not known.
    """

    burned: Burned
    stage: Stage
    cured_on: date
    next_lit: When
    rested_from: When | None
    last_lit: date | None
    waited_days: int | None
    left: Left | None
    cycles_left: int | None
    ends_on: date | None
    spoiled: tuple[Reason, ...]
    forbidden: tuple[Reason, ...]

    @property
    def id(self) -> str:
        """Return the id of the burn's record."""
        return self.burned.candle.id

    @property
    def may_be_lit(self) -> bool:
        """Return whether it may be lit on the day of the board."""
        return self.stage in (Stage.CURED, Stage.BURNING) and not self.forbidden


def waiting_of(account: Account) -> tuple[Waiting, ...]:
    """Return every test candle that has not come to its end, as of the day of the account."""
    return tuple(_waiting(account, burn) for burn in account.judged.burns.values() if goes_on(burn))


def goes_on(one: Burned) -> bool:
    """Return whether a candle has not come to its end; a misuse burn is lit on like any other."""
    if one.candle.verdict is Verdict.MISUSE:
        return one.candle.seen.end is None
    return one.candle.still_burns


def per_day_of(account: Account) -> int:
    """Return how many cycles a candle gets in a day: as is the habit, and as a day can hold."""
    protocol = account.studio.protocol
    return cycles_a_day(account.studio.info.cycles_a_day, protocol.cycle_h, protocol.rest_h)


def _waiting(account: Account, burned: Burned) -> Waiting:
    studio, day, seen = account.studio, account.judged.as_of, burned.candle.seen
    cured, lit = cured_on(studio, seen), [cycle.cycle.on.day for cycle in seen.cycles]
    rested = lit_from(studio, seen)
    habit_used = rested.day == day and _lit_on(burned, day) >= per_day_of(account)
    next_lit = When(day + timedelta(days=1)) if habit_used else rested
    stage = _stage(lit=bool(lit), due=next_lit.day <= day)
    left = left_of(account, burned)
    cycles = None if left is None else cycles_for(left.hours_h, studio.protocol.cycle_h)
    return Waiting(
        burned=burned,
        stage=stage,
        cured_on=cured,
        next_lit=next_lit,
        rested_from=rested if habit_used else None,
        last_lit=max(lit, default=None),
        waited_days=_waited_days(day, stage, cured, lit),
        left=left,
        cycles_left=cycles,
        ends_on=_ends_on(account, burned, next_lit, cycles),
        spoiled=spoiled(burned),
        forbidden=forbidden(account.judged, burned),
    )


def _stage(*, lit: bool, due: bool) -> Stage:
    if lit:
        return Stage.BURNING if due else Stage.RESTING
    return Stage.CURED if due else Stage.CURING


def _lit_on(burned: Burned, day: date) -> int:
    return sum(cycle.cycle.on.day == day for cycle in burned.candle.seen.cycles)


def _waited_days(day: date, stage: Stage, cured: date, lit: list[date]) -> int | None:
    """Return for how many days a candle has stood that could be lit, once they are too many."""
    since, most = (max(lit), OVERDUE_LIT_DAYS) if lit else (cured, OVERDUE_UNLIT_DAYS)
    days = (day - since).days
    return days if stage in (Stage.CURED, Stage.BURNING) and days > most else None


def _ends_on(account: Account, burned: Burned, next_lit: When, cycles: int | None) -> date | None:
    """Return the earliest day of the candle's last cycle, or None when its life is not known."""
    if cycles is None:
        return None
    first, slots = first_turn(account, burned, next_lit)
    try:
        return last_cycle_on(first, cycles, per_day_of(account), slots)
    except OverflowError:  # a rate next to nothing makes a life that no calendar holds
        return None


def first_turn(account: Account, burned: Burned, next_lit: When) -> tuple[date, int]:
    """Return the day on which a candle may be lit next, and the cycles that fit into the rest."""
    protocol, day = account.studio.protocol, account.judged.as_of
    first = max(next_lit.day, day)
    slots = per_day_of(account) - _lit_on(burned, first)
    if next_lit.day == first and next_lit.at is not None:
        hour_h = next_lit.at.hour + next_lit.at.minute / 60
        slots = min(slots, starts_from(hour_h, protocol.cycle_h, protocol.rest_h))
    return first, slots
