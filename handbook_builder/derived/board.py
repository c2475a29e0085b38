"""The test board: what waits for a flame, and when each product may be through."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.plan.calendar import Calendar, Pour, calendar_of
from handbook_builder.derived.plan.life import life_of
from handbook_builder.derived.remaining import LifeGuess
from handbook_builder.derived.waiting import Waiting, per_day_of, waiting_of
from handbook_builder.figures.schedule import cycles_for
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.lighting import cure_days
from handbook_builder.verdicts.more_tests import PAST_TESTING
from handbook_builder.verdicts.reason import Reason

# What more test candles alone bring on.
BY_TESTS: Final = frozenset({"too_few_passed", "too_few_pourings"})


@dataclass(frozen=True, slots=True)
class Outlook:
    """What stands between a product and its approval, reckoned from the day of the board.

    `short` more candles must pass. Where tests help, those are `counted`, and `to_pour` that are
    not poured yet, on `pourings` different days; they would be cured on `cured_on`. `calendar` is
    that of the shelf: None when the life of the candle is not known or more tests would not help.
    `not_before` is a day that holds all the same. `approved_on` is there only when nothing but test
    candles is missing.
    """

    product: Product
    short: int
    counted: tuple[str, ...]
    to_pour: int
    pourings: int
    cured_on: date | None
    life: LifeGuess | None
    pour: Pour | None
    calendar: Calendar | None
    not_before: date | None
    others: tuple[Reason, ...]

    @property
    def through_on(self) -> date | None:
        """Return the earliest day of the last cycle that is waited for, or None."""
        return None if self.calendar is None else self.calendar.through_on

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
    waiting = waiting_of(account)
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


def _outlook(account: Account, product: Product, waiting: tuple[Waiting, ...]) -> Outlook:
    studio, day = account.studio, account.judged.as_of
    others = tuple(reason for reason in product.missing if reason.code not in BY_TESTS)
    codes = {reason.code for reason in product.missing}
    if PAST_TESTING & codes or not BY_TESTS & codes:
        short = max(0, studio.protocol.test_candles - len(product.evidence.passed))
        return Outlook(product, short, (), 0, 0, None, None, None, None, None, others)
    life = life_of(account, product)
    counted, to_pour, pourings = _candles(account, product, waiting)
    cure = cure_days(studio, frozenset(product.recipe.wax))
    cured = day + timedelta(days=cure) if to_pour else None
    pour = _pour(account, life, counted, Pour(to_pour, 1, cure, pourings))
    return Outlook(
        product=product,
        short=len(counted) + to_pour,
        counted=tuple(one.id for one in counted),
        to_pour=to_pour,
        pourings=pourings,
        cured_on=cured,
        life=life,
        pour=pour,
        calendar=None if pour is None else calendar_of(account, waiting, pour, day),
        not_before=max(_first_days(account, counted, cured)),
        others=others,
    )


def _candles(
    account: Account, product: Product, waiting: tuple[Waiting, ...]
) -> tuple[tuple[Waiting, ...], int, int]:
    """Return the candles counted on, how many are to be poured, and on how many days.

    A protocol that asks for several days of pouring is met by the candles of further days on the
    board first.
    """
    protocol = account.studio.protocol
    short = max(0, protocol.test_candles - len(product.evidence.passed))
    able = tuple(_able(product, waiting))
    counted, rest = list(able[:short]), able[short:]
    days = {one.seen.burn.made.on for one in product.evidence.passed}
    days |= {_poured_on(one) for one in counted}
    for one in rest:
        if len(days) < protocol.pourings and _poured_on(one) not in days:
            counted.append(one)
            days.add(_poured_on(one))
    lacking = max(0, protocol.pourings - len(days))
    to_pour = max(short - len(counted), lacking)
    return tuple(counted), to_pour, max(lacking, min(1, to_pour))


def _poured_on(one: Waiting) -> date:
    return one.burned.candle.seen.burn.made.on


def _able(product: Product, waiting: tuple[Waiting, ...]) -> Iterator[Waiting]:
    """Yield the candles that could still pass for the product, the one through first ahead."""
    evidence = {candle.id for candle in product.evidence.burning}
    able = [one for one in waiting if one.id in evidence and not one.spoiled and not one.forbidden]
    yield from sorted(able, key=lambda one: (one.ends_on or date.max, one.next_lit.day, one.id))


def _pour(
    account: Account, life: LifeGuess | None, counted: tuple[Waiting, ...], pour: Pour
) -> Pour | None:
    """Return the candles to be poured with their cycles; None while nothing tells how many."""
    idents = tuple(one.id for one in counted)
    if life is not None:
        cycles = cycles_for(life.hours_h, account.studio.protocol.cycle_h)
        return replace(pour, cycles=cycles, counted=idents, life_h=life.hours_h)
    is_known = not pour.candles and all(one.cycles_left is not None for one in counted)
    return replace(pour, counted=idents) if is_known else None


def _first_days(
    account: Account, counted: tuple[Waiting, ...], cured: date | None
) -> Iterator[date]:
    """Yield the first day on which each candle that is needed could be lit."""
    day = account.judged.as_of
    yield from (max(queued.next_lit.day, day) for queued in counted)
    if cured is not None:
        yield cured
