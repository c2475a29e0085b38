"""What stays in sight around a page: how its matter stands, and the pages that belong beside it."""

from collections.abc import Sequence
from typing import Final, TypedDict

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.page import Beside, Near, Stands
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.verdicts.approval import Product, Status, every_candle
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.judge import burned_of

_LETTERS: Final = 4  # of a code: enough to tell one candle from another at a glance


class Around(TypedDict):
    """What is shown around a page, as `Page` takes it."""

    room: str
    stands: Stands
    beside: tuple[Beside, ...]


def around_product(desk: Desk, product: Product) -> Around:
    """Return what is around a product's page and its sheets: they are all in one room."""
    code = desk.account.products[product.recipe.source.id].code
    limits = desk.phrase("around.limits") if provisos_of(desk, product).sentences else ""
    return Around(
        room="approved" if product.status is Status.APPROVED else "not-approved",
        stands=Stands(desk.words.status(product.status), code[:_LETTERS], limits),
        beside=_beside_product(desk, product),
    )


def _beside_product(desk: Desk, product: Product) -> tuple[Beside, ...]:
    """Return the pages of one product, its test candles and those of its former make-ups."""
    ident = product.recipe.source.id
    own = tuple(
        Near(Link(desk.phrase(f"around.{folder}"), f"{folder}/{ident}"))
        for folder in ("products", "pour", "labels")
    )
    former = [miss.candle for miss in product.near_misses]
    return _told(
        Beside(desk.phrase("around.own"), own),
        Beside(desk.phrase("around.candles"), _candles(desk, every_candle(product), ident)),
        Beside(desk.phrase("around.former"), _candles(desk, former, ident)),
    )


def stands_of_test(desk: Desk, candle: CandleVerdict) -> Stands:
    """Return how a test candle stands, with its letter."""
    letter = desk.phrase("around.tail", candle=candle.seen.burn.candle)
    return Stands(desk.words.verdict(candle.verdict), letter)


def beside_test(desk: Desk, candle: CandleVerdict) -> tuple[Beside, ...]:
    """Return the product of a test candle, and its sisters: all candles of the same recipe."""
    recipe = candle.seen.burn.recipe
    family = [burned.candle for burned in burned_of(desk.judged)[recipe]]
    product = Near(desk.product(desk.studio.recipes[recipe]))
    return _told(
        Beside(desk.phrase("around.of"), (product,)),
        Beside(desk.phrase("around.sisters"), _candles(desk, family, recipe)),
    )


def _told(*groups: Beside) -> tuple[Beside, ...]:
    return tuple(group for group in groups if group.near)


def _candles(desk: Desk, several: Sequence[CandleVerdict], recipe: str) -> tuple[Near, ...]:
    """Return candles by their letters; one of another recipe bears that recipe's name as well."""
    ordered = sorted(several, key=lambda one: (len(one.seen.burn.candle), one.id))
    return tuple(_near(desk, one, recipe) for one in ordered)


def _near(desk: Desk, one: CandleVerdict, recipe: str) -> Near:
    burn, link = one.seen.burn, desk.test(one.id)
    if burn.recipe == recipe:
        link = Link(desk.phrase("around.candle", candle=burn.candle), link.path)
    return Near(link, desk.words.verdict(one.verdict))
