"""What one candle costs and earns, for the page of its product in the owner's edition."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from handbook_builder.derived.money.channels import Channelled, without_price
from handbook_builder.derived.money.products import ProductMoney
from handbook_builder.derived.money.swaps import Swap
from handbook_builder.pages.desk import Desk, Link, item_link, ref_link
from handbook_builder.pages.money.sums import (
    OfferShown,
    ProvingShown,
    lines_shown,
    margin_shown,
    multiple_shown,
    offer_shown,
    proving_shown,
    signed,
    sum_shown,
)
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.screening import Screening


@dataclass(frozen=True, slots=True)
class SwapRow:
    """The scent in one vessel; `standing` says whether it is proven there."""

    vessel: Link
    standing: str
    product: Link | None
    cost: str | None
    change: str | None
    margin: str | None
    keeping: str | None


@dataclass(frozen=True, slots=True)
class ChannelRow:
    """A candle in one channel: what the buyer pays, and where it goes."""

    name: str
    paid: str
    tax: str
    before_tax: str
    fee: str
    commission: str
    received: str
    left: str
    margin: str | None


@dataclass(frozen=True, slots=True)
class Cost:
    """What one candle costs; `total` is None as long as anything is unpriced.

    `channels_out` says of each channel without a price why it has none.
    """

    lines: tuple[tuple[str, str], ...]
    total: str | None
    unpriced: tuple[Link, ...]
    costing: str
    hour: str | None
    offers: tuple[tuple[str, OfferShown], ...]
    channels: tuple[ChannelRow, ...]
    channels_note: str
    channels_out: tuple[str, ...]
    proving: ProvingShown
    swaps: tuple[SwapRow, ...]


def cost_of(desk: Desk, ident: str) -> Cost | None:
    """Return what a product costs and earns, or None in an edition that is told no money."""
    if desk.money is None:
        return None
    known = desk.money.products[ident]
    return Cost(
        lines=lines_shown(desk, tuple(known.cost.lines.items())),
        total=sum_shown(desk, known.cost.total),
        unpriced=tuple(ref_link(item) for item in known.cost.unpriced),
        costing=_costing(desk),
        hour=sum_shown(desk, known.hour),
        offers=tuple(_offers(desk, known)),
        channels=tuple(_channel(desk, name, one) for name, one in known.channels.items()),
        channels_note=desk.phrase("channels_note"),
        channels_out=tuple(_channels_out(desk, known)),
        proving=proving_shown(desk, known.proving),
        swaps=swap_rows(desk, desk.money.swaps[ident]),
    )


def _costing(desk: Desk) -> str:
    how = desk.phrase(f"costing.{desk.studio.info.costing}")
    return f"{how} {desk.phrase('cost_rounding')}"


def _channels_out(desk: Desk, known: ProductMoney) -> Iterator[str]:
    """Yield why a channel has no price; what is unpriced as a whole is told elsewhere."""
    for name, why in without_price(desk.studio, known.cost.total).items():
        yield desk.phrase(f"channels_out.{why}", name=name)


def _channel(desk: Desk, name: str, one: Channelled) -> ChannelRow:
    money, sold = desk.words.money, one.sale
    return ChannelRow(
        name=name,
        paid=money(sold.paid),
        tax=money(sold.tax),
        before_tax=money(sold.before_tax),
        fee=money(sold.fee),
        commission=money(sold.commission),
        received=money(sold.received),
        left=money(one.left),
        margin=margin_shown(desk, one.margin),
    )


def _offers(desk: Desk, known: ProductMoney) -> list[tuple[str, OfferShown]]:
    info = desk.studio.info
    made = (
        ("wholesale", known.wholesale, info.wholesale_multiple),
        ("retail", known.retail, info.retail_multiple),
    )
    shown = (
        (desk.phrase(f"offers.{name}"), offer_shown(desk, offer, multiple_shown(desk, multiple)))
        for name, offer, multiple in made
    )
    return [(name, one) for name, one in shown if one is not None]


def swap_rows(desk: Desk, swaps: Iterable[Swap]) -> tuple[SwapRow, ...]:
    """Return the scent in each vessel as rows of a table."""
    return tuple(_row(desk, swap) for swap in swaps)


def _row(desk: Desk, swap: Swap) -> SwapRow:
    product = None if swap.proven is None else desk.product(desk.studio.recipes[swap.proven])
    return SwapRow(
        vessel=item_link("vessels", swap.vessel),
        standing=desk.phrase(f"standings.{standing_of(desk, swap)}") + _by_quote(desk, swap),
        product=None if swap.own else product,
        cost=sum_shown(desk, swap.cost.total),
        change=_signed(desk, swap),
        margin=margin_shown(desk, swap.margin),
        keeping=sum_shown(desk, swap.keeping),
    )


def _by_quote(desk: Desk, swap: Swap) -> str:
    """Return that the price of a vessel was quoted and not paid, or nothing."""
    prices = {} if desk.money is None else desk.money.prices.by_item
    price = prices.get(Ref.to("vessels", swap.vessel))
    return desk.phrase("standings.by_quote") if price is not None and price.is_quote else ""


def standing_of(desk: Desk, swap: Swap) -> str:
    """Return how the scent stands in that vessel: this one or not, proven or not, or refused."""
    if swap.own:
        return "own_proven" if swap.proven else "own"
    if swap.proven:
        return "proven"
    screening = desk.judged.vessels[swap.vessel].screening
    return "refused" if screening is Screening.REFUSED else "not_proven"


def _signed(desk: Desk, swap: Swap) -> str | None:
    """Return how much dearer or cheaper it is, with its sign."""
    if swap.change is None or swap.own:
        return None
    return signed(swap.change, desk.words.money(abs(swap.change)))
