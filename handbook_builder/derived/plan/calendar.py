"""When planned candles burn, on a shelf that has candles burning already; forward and backward."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from handbook_builder.derived.account import Account
from handbook_builder.derived.plan.needs import Need
from handbook_builder.derived.remaining import life_guess
from handbook_builder.derived.waiting import Waiting, first_turn, per_day_of
from handbook_builder.figures.schedule import cycles_for
from handbook_builder.figures.shelf import Job, Shelf, days_of, latest_start


@dataclass(frozen=True, slots=True)
class Pour:
    """Candles to be poured, each to burn so many cycles once it is cured.

    They come from `pourings` days of pouring, one after another. `counted` are candles that stand
    on the board, and that the plan waits for as well; one whose own hours left are not known burns
    `life_h` in all.
    """

    candles: int
    cycles: int
    cure_days: int
    pourings: int = 1
    counted: tuple[str, ...] = ()
    life_h: float = 0.0


@dataclass(frozen=True, slots=True)
class Calendar:
    """When it all burns, with the pour on `pour_on`.

    `cured_on` is the first day on which one of the poured may be lit, None without any.
    `through_on` is the day of the last cycle of all that is planned or counted on. `most_at_once`
    is how many places the fullest day takes. `assumed` are other candles on the board of which
    nobody knows how long they burn: they are taken to last as long as those that are planned.
    """

    pour_on: date
    cured_on: date | None
    through_on: date
    most_at_once: int
    assumed: tuple[str, ...]


def calendar_of(
    account: Account, waiting: Sequence[Waiting], pour: Pour, pour_on: date
) -> Calendar | None:
    """Return when it is through: what is on the board is burned first, of that what is counted on.

    None where there is nothing to burn, or where no calendar holds it.
    """
    present, assumed = _present(account, waiting, pour)
    planned = tuple(_planned(pour, pour_on, per_day_of(account)))
    ahead = [job for job in present if job.name in pour.counted]
    others = [job for job in present if job.name not in pour.counted]
    awaited = [job.name for job in (*ahead, *planned)]
    if not awaited:
        return None
    try:
        days = days_of([ahead, others, planned], shelf_of(account), awaited)
    except OverflowError:  # beyond the calendar, or ten years
        return None
    return Calendar(
        pour_on=pour_on,
        cured_on=planned[0].first if planned else None,
        through_on=max(days.last[name] for name in awaited),
        most_at_once=days.most_at_once,
        assumed=assumed,
    )


def shelf_of(account: Account) -> Shelf:
    """Return how much may burn on the studio's shelf in a day, and at once."""
    return Shelf(per_day_of(account), account.studio.info.places)


def _present(
    account: Account, waiting: Sequence[Waiting], pour: Pour
) -> tuple[tuple[Job, ...], tuple[str, ...]]:
    """Return what the board lets burn, now or later, and of which of it no life is known."""
    jobs, assumed = [], []
    for one in waiting:
        if one.forbidden:
            continue
        cycles = _cycles_left(account, one, pour)
        if cycles is None:
            assumed.append(one.id)
        first, slots = first_turn(account, one.burned, one.next_lit)
        jobs.append(Job(one.id, first, cycles or pour.cycles, slots))
    return tuple(jobs), tuple(assumed)


def _cycles_left(account: Account, one: Waiting, pour: Pour) -> int | None:
    """Return how many cycles a candle has left: by its own weighings, or by its sisters' life."""
    life_h = pour.life_h if one.id in pour.counted else _sisters_h(account, one)
    if one.cycles_left is not None or life_h is None:
        return one.cycles_left
    left_h = max(0.0, life_h - account.burns[one.id].hours_h)
    return cycles_for(left_h, account.studio.protocol.cycle_h)


def _sisters_h(account: Account, one: Waiting) -> float | None:
    product = account.judged.products[one.burned.candle.seen.burn.recipe]
    is_its_own = one.id in {candle.id for candle in product.evidence.burning}
    life = life_guess(account, product) if is_its_own else None
    return None if life is None else life.hours_h


def _planned(pour: Pour, pour_on: date, per_day: int) -> Iterator[Job]:
    """Yield the candles to be poured: on the first day all but one for each further day."""
    cured = pour_on + timedelta(days=pour.cure_days)
    for at in range(pour.candles):
        later = max(0, at - (pour.candles - pour.pourings))
        yield Job(f"+{at + 1}", cured + timedelta(days=later), pour.cycles, per_day)


@dataclass(frozen=True, slots=True)
class Order:
    """What the store lacks, and the last day to order it; None where no lead time is on file.

    `is_late` says that this day has gone by: then it must be on the shelf already.
    """

    need: Need
    order_by: date | None
    is_late: bool


@dataclass(frozen=True, slots=True)
class Backward:
    """The same reckoned back from a day: pour no later than `pour_by`, None when that is too late.

    `earliest` is when it is through with the pour on the day of the account, `bought` with the
    pour on the day when all that the store lacks, ordered on that day, has come.
    """

    by: date
    pour_by: date | None
    earliest: Calendar
    bought: Calendar | None
    orders: tuple[Order, ...]


def backward(
    account: Account,
    waiting: Sequence[Waiting],
    pour: Pour,
    by: date,
    lacks: tuple[Need, ...],
) -> Backward | None:
    """Return the latest day to pour so that all is through by `by`; None without a calendar.

    `lacks` is what the store lacks for it: the rest is not ordered.
    """
    today = account.judged.as_of
    at = partial(calendar_of, account, waiting, pour)
    earliest = at(today)
    if earliest is None:
        return None

    def ends_on(day: date) -> date | None:
        found = at(day)
        return None if found is None else found.through_on

    pour_by = latest_start(ends_on, today, by)
    orders = () if pour_by is None else tuple(_orders(lacks, pour_by, today))
    longest = max((need.lead_days or 0 for need in lacks), default=0)
    return Backward(by, pour_by, earliest, at(today + timedelta(days=longest)), orders)


def _orders(lacks: tuple[Need, ...], pour_by: date, today: date) -> Iterator[Order]:
    """Yield what must be ordered by when, the first of it ahead."""
    found = [
        Order(need, None, is_late=False)
        if need.lead_days is None
        else Order(need, day := pour_by - timedelta(days=need.lead_days), is_late=day < today)
        for need in lacks
    ]
    yield from sorted(found, key=lambda one: (one.order_by or date.max, one.need.item))
