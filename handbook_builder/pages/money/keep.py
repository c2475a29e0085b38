"""Which vessel earns its keep, for the comparison of vessels in the owner's edition."""

from dataclasses import dataclass
from decimal import Decimal

from handbook_builder.derived.money.account import Money
from handbook_builder.derived.money.vessels import VesselMoney
from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.money.sums import (
    OfferShown,
    ProvingShown,
    margin_shown,
    margins_shown,
    multiple_shown,
    offer_shown,
    proving_shown,
    span_shown,
    sum_shown,
)


@dataclass(frozen=True, slots=True)
class KeepRow:
    """One vessel: what it costs, what its candles cost and earn; None is not known."""

    link: Link
    standing: str
    landed: str | None
    quoted: str
    freight: str | None
    breakage: str | None
    cost: str | None
    hour: str | None
    offer: OfferShown | None
    one_price: str | None
    proven: int
    proving: ProvingShown


@dataclass(frozen=True, slots=True)
class Keep:
    """The comparison: proven vessels first, and of them the one that earns most an hour."""

    rows: tuple[KeepRow, ...]
    answer: str
    hour_price: str | None
    basis: str


def keep_of(desk: Desk) -> Keep | None:
    """Return which vessel earns its keep, or None in an edition that is told no money."""
    if desk.money is None:
        return None
    ranked = _ranked(desk, desk.money)
    return Keep(
        rows=tuple(_row(desk, ident, one) for ident, one in ranked),
        answer=_answer(desk, ranked),
        hour_price=sum_shown(desk, desk.money.keep.hour_price),
        basis=multiple_shown(desk, desk.studio.info.retail_multiple),
    )


def _ranked(desk: Desk, money: Money) -> list[tuple[str, VesselMoney]]:
    """Return the vessels for products: proven ones first, each group by what is left."""
    found = [
        (ident, one)
        for ident, one in money.keep.vessels.items()
        if desk.studio.vessels[ident].use == "product"
    ]

    def rank(pair: tuple[str, VesselMoney]) -> tuple[bool, bool, Decimal, str]:
        ident, vessel = pair
        price = vessel.one_price
        return (not vessel.proven, price is None, -price.most if price else Decimal(0), ident)

    return sorted(found, key=rank)


def _row(desk: Desk, ident: str, known: VesselMoney) -> KeepRow:
    price, costing = known.price, desk.studio.info.costing
    basis = multiple_shown(desk, desk.studio.info.retail_multiple)
    return KeepRow(
        link=item_link("vessels", ident),
        standing=desk.phrase(f"keep.{_standing(known)}"),
        landed=None if price is None else desk.words.money(price.chosen(costing)),
        quoted=_quoted(desk, ident) if price is not None and price.is_quote else "",
        freight=None if price is None else margin_shown(desk, price.freight_share),
        breakage=margin_shown(desk, known.breakage) if known.breakage else None,
        cost=span_shown(desk, known.cost),
        hour=span_shown(desk, known.hour),
        offer=offer_shown(desk, known.offer, basis),
        one_price=margins_shown(desk, known.one_price),
        proven=len(known.products) if known.proven else 0,
        proving=proving_shown(desk, known.proving),
    )


def _quoted(desk: Desk, ident: str) -> str:
    """Return that a price was quoted and not paid, from how many on."""
    quote = desk.studio.vessels[ident].quote
    if quote is None:
        return ""
    return desk.phrase("keep.quoted", on=desk.words.day(quote.on), minimum=quote.minimum)


def _standing(known: VesselMoney) -> str:
    if known.proven:
        return "proven"
    return "on_file" if known.products else "nothing"


def _answer(desk: Desk, ranked: list[tuple[str, VesselMoney]]) -> str:
    """Return the answer in a sentence: in which proven vessel an hour costs least, and most."""
    proven = [(ident, one.hour) for ident, one in ranked if one.proven and one.hour]
    if not proven:
        return desk.phrase("keep.no_answer")
    found = sorted(proven, key=lambda pair: (pair[1].least, pair[0]))
    (best, least), (worst, most) = found[0], found[-1]
    details = {
        "best": item_link("vessels", best).title,
        "least": span_shown(desk, least),
        "worst": item_link("vessels", worst).title,
        "most": span_shown(desk, most),
    }
    return desk.phrase("keep.answer" if len(found) > 1 else "keep.one_answer", **details)
