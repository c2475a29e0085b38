"""Which proof to burn first: the one whose failure would save the others."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.figures.margin import margin_left
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.readings import COVERAGE, MEAN_AFTER_SMOKE
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Burned, Product
from handbook_builder.verdicts.candles import CandleVerdict, mean_after_smoke_s
from handbook_builder.verdicts.cycles import grounds_of, is_full, measured
from handbook_builder.verdicts.readings import Verdict

# Where a reading is as far from its limit as it gets. A wall is never cooler than the room: 20 °C,
# as EN 15426 has it (the clause is read second-hand).
_ROOM_C: Final = 20.0


@dataclass(frozen=True, slots=True)
class Near:
    """The reading of a candle that came nearest to a limit that fails it.

    `margin` is how much of the way to the limit was left: 0 at the limit, below 0 beyond it.
    """

    burn: str
    measure: str
    reading: float
    bound: float
    margin: float


@dataclass(frozen=True, slots=True)
class Worst:
    """What speaks for burning one proof before others: that of a recipe, or of an oil.

    `near` and `hottest_wall_c` are of `kin`, the candles that tell of it: its own (`is_own`), else
    those with the same oils.
    """

    what: Ref
    near: Near | None
    hottest_wall_c: float | None
    load_on_wax: float
    kin: tuple[str, ...]
    is_own: bool


def in_order(found: Iterable[Worst]) -> tuple[Worst, ...]:
    """Return them in the order of work: the nearest to a limit first.

    Of those alike the one with the hotter wall comes first, then the one with the higher load. One
    of which nothing was read comes last: nobody knows that it is worse.
    """
    return tuple(sorted(found, key=_key))


def _key(one: Worst) -> tuple[object, ...]:
    margin = float("inf") if one.near is None else one.near.margin
    wall = 0.0 if one.hottest_wall_c is None else one.hottest_wall_c
    return (margin, -wall, -one.load_on_wax, one.what)


def worst_of(account: Account, product: Product) -> Worst:
    """Return what the kin of a product tell: its own candles, else those with its oils and waxes.

    Candles that were set aside, misuse burns, and candles not lit yet say nothing.
    """
    judged = account.judged
    recipe, own = product.recipe, {one.id for one in _own(product)}
    kin = [one for ident, one in judged.burns.items() if ident in own and one.candle.seen.cycles]
    is_own = bool(kin)
    if not kin:
        kin = _with(account, frozenset(recipe.fragrance), frozenset(recipe.wax))
    ident = recipe.source.id
    load = account.products[ident].load_on_wax
    return _worst(account.studio, Ref.to("recipes", ident), kin, load, is_own=is_own)


def worst_of_oil(account: Account, oil: str, wax: str, load_on_wax: float) -> Worst:
    """Return what the candles with an oil tell of one more: in that wax, else in any."""
    oils = frozenset({oil})
    kin = _with(account, oils, frozenset({wax})) or _with(account, oils, None)
    return _worst(account.studio, Ref.to("fragrances", oil), kin, load_on_wax, is_own=False)


def _worst(
    studio: Studio, what: Ref, kin: list[Burned], load_on_wax: float, *, is_own: bool
) -> Worst:
    walls = (cycle.cycle.wall_c for one in kin for cycle in one.candle.seen.cycles)
    return Worst(
        what=what,
        near=min(_nears(studio, kin), key=lambda one: one.margin, default=None),
        hottest_wall_c=max((wall for wall in walls if wall is not None), default=None),
        load_on_wax=load_on_wax,
        kin=tuple(one.candle.id for one in kin),
        is_own=is_own,
    )


def _own(product: Product) -> tuple[CandleVerdict, ...]:
    found = product.evidence
    return (*found.passed, *found.failed, *found.burning, *found.incomplete, *found.ladder)


def _with(account: Account, oils: frozenset[str], waxes: frozenset[str] | None) -> list[Burned]:
    """Return the candles with these oils, in these waxes or in any, that were lit as a test."""
    return [
        one
        for one in account.judged.burns.values()
        if one.candle.verdict is not Verdict.VOID
        and one.candle.seen.cycles
        and one.candle.seen.burn.made.fragrance.keys() == oils
        and waxes in {None, frozenset(one.candle.seen.burn.made.wax)}
    ]


def _nears(studio: Studio, kin: Iterable[Burned]) -> Iterator[Near]:
    for one in kin:
        if not one.candle.seen.burn.is_misuse:
            yield from _of_candle(studio, one.candle)


def _of_candle(studio: Studio, candle: CandleVerdict) -> Iterator[Near]:
    """Yield each reading of a candle that a failing limit is set on."""
    grounds = grounds_of(studio, candle.seen)
    limits = [
        limit
        for limit in studio.protocol.limits
        if limit.on_breach == "fail" and limit.material in {None, grounds.material}
    ]
    for limit in limits:
        for reading in _readings(candle, limit, studio):
            far = _far(limit)
            if far != limit.bound:
                margin = margin_left(reading, limit.bound, far)
                yield Near(candle.id, limit.measure, reading, limit.bound, margin)


def _readings(candle: CandleVerdict, limit: Limit, studio: Studio) -> Iterator[float]:
    """Yield what a limit is held against: the pool only from the cycle in which it is due."""
    seen = candle.seen
    if limit.measure == MEAN_AFTER_SMOKE:
        mean = mean_after_smoke_s(seen)
        yield from () if mean is None else (mean,)
        return
    grounds = grounds_of(studio, seen)
    for at, numbered in enumerate(seen.cycles):
        is_due = at + 1 >= studio.protocol.full_pool_by and is_full(seen, at)
        value = measured(grounds, numbered.cycle, limit.measure)
        if value is not None and (limit.measure != COVERAGE or is_due):
            yield value


def _far(limit: Limit) -> float:
    """Return the value of a measure that is farthest from its limit, on the side that is well."""
    if limit.measure == COVERAGE and not limit.upper:
        return 1.0
    if limit.measure in {"wall", "room"} and limit.upper:
        return _ROOM_C
    return 0.0 if limit.upper else 2 * limit.bound
