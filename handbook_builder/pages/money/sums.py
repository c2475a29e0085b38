"""How sums of money are shown: a price for a kilogram or a piece, a margin, a span, an offer."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Final

from handbook_builder.derived.money.pricing import Offer, Proving
from handbook_builder.derived.money.vessels import Span
from handbook_builder.pages.desk import Desk
from handbook_builder.reading.refs import WEIGHED_FOLDERS

# 1 lb = 453.59237 g exactly (NIST Handbook 44, Appendix C).
_GRAMS: Final = {"kg": Decimal(1000), "lb": Decimal("453.59237")}
_MINUS: Final = "\N{MINUS SIGN}"
_IN: Final = {"metric": ("kg",), "both": ("kg", "lb"), "us": ("lb", "kg")}


@dataclass(frozen=True, slots=True)
class OfferShown:
    """A price, and what is left of it: in money, and as a share of the price."""

    basis: str
    price: str
    left: str
    margin: str | None


@dataclass(frozen=True, slots=True)
class ProvingShown:
    """What one proof takes and costs; None is not known."""

    candles: int
    hours: str | None
    work: str | None
    cost: str | None
    each: str | None


def margin_shown(desk: Desk, share: Decimal | None) -> str | None:
    """Return a margin, or another share of a sum, as a percentage with one decimal."""
    if share is None:
        return None
    shown = (share * 100).quantize(Decimal("0.1"), rounding=ROUND_HALF_EVEN)
    return desk.phrase("percent", share=str(shown).removesuffix(".0"))


def signed(value: Decimal, shown: str) -> str:
    """Return what is shown of a change, with the sign of `value`."""
    return shown if not value else f"{'+' if value > 0 else _MINUS}{shown}"


def sum_shown(desk: Desk, amount: Decimal | None) -> str | None:
    """Return a sum in the studio's currency, or None."""
    return None if amount is None else desk.words.money(amount)


def span_shown(desk: Desk, span: Span | None) -> str | None:
    """Return the least and the most of a sum, or the one when they are shown alike."""
    if span is None:
        return None
    least, most = desk.words.money(span.least), desk.words.money(span.most)
    return least if least == most else desk.phrase("spans.of_two", least=least, most=most)


def margins_shown(desk: Desk, span: Span | None) -> str | None:
    """Return the least and the most of a margin, or the one when they are shown alike."""
    if span is None:
        return None
    least, most = margin_shown(desk, span.least), margin_shown(desk, span.most)
    return least if least == most else desk.phrase("spans.of_two", least=least, most=most)


def unit_shown(desk: Desk, folder: str, unit_cost: Decimal) -> str:
    """Return what a kilogram and a pound of an item cost, or one piece of it."""
    if folder not in WEIGHED_FOLDERS:
        return desk.phrase("unit_costs.piece", sum=desk.words.money(unit_cost, finer=2))
    first, *more = (
        desk.phrase(f"unit_costs.{unit}", sum=desk.words.money(unit_cost * _GRAMS[unit]))
        for unit in _IN[desk.words.units]
    )
    return f"{first} ({more[0]})" if more else first


def offer_shown(desk: Desk, offer: Offer | None, basis: str) -> OfferShown | None:
    """Return a price with what is left of it; `basis` says how it was worked out."""
    if offer is None:
        return None
    price, left = desk.words.money(offer.price), desk.words.money(offer.left)
    return OfferShown(basis, price, left, margin_shown(desk, offer.margin))


def multiple_shown(desk: Desk, multiple: Decimal | float | None) -> str:
    """Return how a price by multiple was worked out, or nothing without one."""
    if multiple is None:
        return ""
    return desk.phrase("by_multiple", multiple=f"{Decimal(str(multiple)).normalize():f}")


def proving_shown(desk: Desk, proving: Proving) -> ProvingShown:
    """Return what one proof takes, in words."""
    each = sum_shown(desk, proving.each)
    return ProvingShown(
        candles=proving.candles,
        hours=_hours(desk, proving.hours_h),
        work=_hours(desk, proving.work_h),
        cost=sum_shown(desk, proving.cost),
        each=each and desk.phrase("proving_each", each=each, made=proving.made),
    )


def _hours(desk: Desk, hours_h: Decimal | None) -> str | None:
    return None if hours_h is None else desk.words.quantity(float(hours_h), "h")


def lines_shown(desk: Desk, lines: Sequence[tuple[str, Decimal]]) -> tuple[tuple[str, str], ...]:
    """Return the lines of a candle's cost in coins; what is less than a coin, finer."""
    return tuple(
        (desk.phrase(f"cost_lines.{name}"), coins_shown(desk, cost)) for name, cost in lines if cost
    )


def coins_shown(desk: Desk, cost: Decimal) -> str:
    """Return a sum in the coins of its currency; one that would be shown as nothing, finer."""
    coins = desk.words.money(cost)
    return desk.words.money(cost, finer=2) if coins == desk.words.money(Decimal(0)) else coins
