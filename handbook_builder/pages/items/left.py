"""What is left of an item, and how many candles that makes: what a last order has to reach for."""

from dataclasses import dataclass

from handbook_builder.derived.reach import makes_of
from handbook_builder.derived.stock import stock_of
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.trade.parts import amount_shown
from handbook_builder.reading.refs import Ref


@dataclass(frozen=True, slots=True)
class MakesShown:
    """A product, its status in lower case, and how many of it an amount of one item makes."""

    product: Link
    status: str
    candles: int


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of an item, what of it may be poured, and what that makes of each product."""

    left: str
    usable: str
    makes: tuple[MakesShown, ...]
    note: str


def left_of(desk: Desk, item: Ref) -> Left | None:
    """Return what is left of an item, or None of one that was never bought, taken or counted."""
    store = stock_of(desk.account).get(item)
    if store is None:
        return None
    return Left(
        left=amount_shown(desk, item, store.left),
        usable=amount_shown(desk, item, store.usable),
        makes=makes_shown(desk, item, store.usable),
        note=desk.phrase("store.makes_note"),
    )


def makes_shown(desk: Desk, item: Ref, amount: float) -> tuple[MakesShown, ...]:
    """Return what an amount of an item makes, in words."""
    return tuple(
        MakesShown(
            product=desk.product(desk.studio.recipes[one.recipe]),
            status=desk.words.status(desk.judged.products[one.recipe].status).word.lower(),
            candles=one.candles,
        )
        for one in makes_of(desk.account, item, amount)
    )
