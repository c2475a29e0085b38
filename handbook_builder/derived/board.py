"""The test board: what cures, what rests, what may be lit, and when each product may be through."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.remaining import Left, LifeGuess, left_of, life_guess
from handbook_builder.figures.schedule import (
    cycles_a_day,
    cycles_for,
    last_cycle_on,
    starts_from,
)
from handbook_builder.reading.fields import When
from handbook_builder.verdicts.approval import Burned, Product, Status
from handbook_builder.verdicts.lighting import cure_days, cured_on, forbidden, lit_from, spoiled
from handbook_builder.verdicts.more_tests import PAST_TESTING
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
    earliest day of its last cycle, None when its life is not known.
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


@dataclass(frozen=True, slots=True)
class Outlook:
    """What stands between a product and its approval, reckoned from the day of the board.

    `short` more candles must pass: those of `counted`, and `to_pour` that are not poured yet and
    would be cured on `cured_on`. `through_on` is the earliest day of the last cycle, None when the
    life of the candle is not known or more tests would not help; `not_before` is a day that holds
    all the same. `approved_on` is there only when nothing but test candles is missing.
    """

    product: Product
    short: int
    counted: tuple[str, ...]
    to_pour: int
    cured_on: date | None
    life: LifeGuess | None
    through_on: date | None
    not_before: date | None
    others: tuple[Reason, ...]

    @property
    def approved_on(self) -> date | None:
        """Return the earliest day of approval, or None when none can be named."""
        return None if self.others else self.through_on


@dataclass(frozen=True, slots=True)
class Board:
    """The board of a studio on a day; `per_day` is how many cycles a candle gets in a day."""

    day: date
    per_day: int
    waiting: tuple[Waiting, ...]
    outlooks: tuple[Outlook, ...]
    may_burn: tuple[str, ...]
    may_pour: tuple[str, ...]


def board_of(account: Account) -> Board:
    """Return the test board as of the day of the account."""
    judged, studio = account.judged, account.studio
    waiting = tuple(_waiting(account, burn) for burn in judged.burns.values() if goes_on(burn))
    done = (Status.APPROVED, Status.RETIRED)
    outlooks = tuple(
        _outlook(account, product, waiting)
        for product in judged.products.values()
        if product.status not in done
    )
    return Board(
        day=judged.as_of,
        per_day=per_day_of(account),
        waiting=waiting,
        outlooks=outlooks,
        may_burn=tuple(one for one, who in sorted(studio.helpers.items()) if "burn" in who.may),
        may_pour=tuple(one for one, who in sorted(studio.helpers.items()) if "pour" in who.may),
    )


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
    return _within_the_calendar(first, cycles, per_day_of(account), slots)


def first_turn(account: Account, burned: Burned, next_lit: When) -> tuple[date, int]:
    """Return the day on which a candle may be lit next, and the cycles that fit into the rest."""
    protocol, day = account.studio.protocol, account.judged.as_of
    first = max(next_lit.day, day)
    slots = per_day_of(account) - _lit_on(burned, first)
    if next_lit.day == first and next_lit.at is not None:
        hour_h = next_lit.at.hour + next_lit.at.minute / 60
        slots = min(slots, starts_from(hour_h, protocol.cycle_h, protocol.rest_h))
    return first, slots


def _within_the_calendar(first: date, cycles: int, per_day: int, slots: int) -> date | None:
    try:
        return last_cycle_on(first, cycles, per_day, slots)
    except OverflowError:  # a rate next to nothing makes a life that no calendar holds
        return None


def _outlook(account: Account, product: Product, waiting: tuple[Waiting, ...]) -> Outlook:
    others = tuple(reason for reason in product.missing if reason.code != "too_few_passed")
    short = max(0, account.studio.protocol.test_candles - len(product.evidence.passed))
    if not short or PAST_TESTING & {other.code for other in others}:
        return Outlook(product, short, (), 0, None, None, None, None, others)
    counted = tuple(_counted(product, waiting))[:short]
    to_pour = short - len(counted)
    life = life_guess(account, product)
    cured = account.judged.as_of + timedelta(
        days=cure_days(account.studio, frozenset(product.recipe.wax))
    )
    ends = [queued.ends_on or _ends_by(account, queued, life) for queued in counted]
    if to_pour:
        ends.append(_poured_ends_on(account, cured, life))
    known = [end for end in ends if end is not None]
    return Outlook(
        product=product,
        short=short,
        counted=tuple(queued.id for queued in counted),
        to_pour=to_pour,
        cured_on=cured if to_pour else None,
        life=life,
        through_on=max(known) if len(known) == len(ends) else None,
        not_before=max(_first_days(account, counted, cured if to_pour else None)),
        others=others,
    )


def _counted(product: Product, waiting: tuple[Waiting, ...]) -> Iterator[Waiting]:
    """Yield the candles that could still pass for the product, the one through first ahead."""
    evidence = {candle.id for candle in product.evidence.burning}
    able = [one for one in waiting if one.id in evidence and not one.spoiled and not one.forbidden]
    yield from sorted(able, key=lambda one: (one.ends_on or date.max, one.next_lit.day, one.id))


def _ends_by(account: Account, one: Waiting, life: LifeGuess | None) -> date | None:
    """Return the earliest day of a candle's last cycle by the life of the product's candles."""
    if life is None:
        return None
    left_h = max(0.0, life.hours_h - account.burns[one.id].hours_h)
    cycles = cycles_for(left_h, account.studio.protocol.cycle_h)
    return _ends_on(account, one.burned, one.next_lit, cycles)


def _poured_ends_on(account: Account, cured: date, life: LifeGuess | None) -> date | None:
    """Return when a candle poured today would be through."""
    if life is None:
        return None
    per_day = per_day_of(account)
    cycles = cycles_for(life.hours_h, account.studio.protocol.cycle_h)
    return _within_the_calendar(cured, cycles, per_day, per_day)


def _first_days(
    account: Account, counted: tuple[Waiting, ...], cured: date | None
) -> Iterator[date]:
    """Yield the first day on which each candle that is needed could be lit."""
    day = account.judged.as_of
    yield from (max(queued.next_lit.day, day) for queued in counted)
    if cured is not None:
        yield cured
