"""How a product burns, in words: its rate with its doubt, and the rules of thumb beside it."""

from dataclasses import dataclass

from handbook_builder.derived.lives import by_thumb, rates_of
from handbook_builder.figures.burn import expanded
from handbook_builder.figures.rates import Rates
from handbook_builder.figures.spread import Spread
from handbook_builder.pages.desk import Desk
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class ThumbRow:
    """A rule of thumb: what it is about, what it says, what was read (None where nothing was)."""

    about: str
    says: str
    read: str | None


@dataclass(frozen=True, slots=True)
class Burning:
    """The rate of a product with its doubt, and the rules of thumb."""

    interval: str
    scatter: str
    caption: str
    rules: tuple[ThumbRow, ...]
    source: str


def burning_of(desk: Desk, product: Product) -> Burning | None:
    """Return how a product burns, or None when no candle of it has passed."""
    rates = rates_of(desk.account, product)
    if rates is None:
        return None
    return Burning(
        interval=_interval(desk, rates.spread),
        scatter=_scatter(desk, rates),
        caption=desk.phrase("thumb.caption"),
        rules=_rules(desk, product),
        source=desk.phrase("thumb.source"),
    )


def _interval(desk: Desk, spread: Spread) -> str:
    if spread.low is None or spread.high is None:
        return desk.phrase("rates.too_few")
    return desk.phrase("rates.interval", low=f"{spread.low:.2f}", high=f"{spread.high:.2f}")


def _scatter(desk: Desk, rates: Rates) -> str:
    doubt = f"{expanded(rates.reading_u_g_per_h):.3f}"
    if rates.spread.sd is None:
        return desk.phrase("rates.scatter_one", doubt=doubt)
    return desk.phrase("rates.scatter", sd=f"{rates.spread.sd:.2f}", doubt=doubt)


def _rules(desk: Desk, product: Product) -> tuple[ThumbRow, ...]:
    found = by_thumb(desk.account, product)
    rule_h = desk.words.quantity(found.rule_h, "h")
    return (
        ThumbRow(
            desk.phrase("thumb.wall"),
            desk.phrase("thumb.wall_says", rule_h=rule_h),
            _read(desk, found.to_wall_h, "h"),
        ),
        ThumbRow(
            desk.phrase("thumb.depth"),
            desk.phrase("thumb.depth_says"),
            _read(desk, found.depth_mm, "mm"),
        ),
    )


def _read(desk: Desk, spread: Spread | None, suffix: str) -> str | None:
    if spread is None:
        return None

    def show(value: float) -> str:
        return desk.words.quantity(round(value, 1) if suffix == "mm" else value, suffix)

    if spread.low is None or spread.high is None:
        return desk.phrase("thumb.read_one", mean=show(spread.mean))
    low, high = show(spread.low), show(spread.high)
    return desk.phrase("thumb.read", mean=show(spread.mean), low=low, high=high)
