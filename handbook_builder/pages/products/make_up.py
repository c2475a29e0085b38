"""The make-up of one candle, part by part."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class Part:
    """One thing in the candle: its weight or count in one candle, and its two shares."""

    kind: str
    link: Link
    amount: str
    of_wax: str | None
    of_total: str | None
    spec: int


def parts_of(desk: Desk, product: Product) -> tuple[Part, ...]:
    """Return the make-up of one candle, in the order in which it is put together."""
    return (*_pieces(product), *_weighed(desk, product))


def packed_in(recipe: Recipe) -> tuple[tuple[Link, int], ...]:
    """Return what one candle is packed in, and how many of each."""
    return tuple(
        (item_link("packaging", ident), count) for ident, count in recipe.packaging.items()
    )


def _pieces(product: Product) -> Iterator[Part]:
    same = product.combination.identities
    vessel, wick = same.vessel, same.wick
    yield Part("vessel", item_link("vessels", vessel.id), "1", None, None, vessel.spec)
    yield Part("wick", item_link("wicks", wick.id), str(same.wicks), None, None, wick.spec)


def _weighed(desk: Desk, product: Product) -> Iterator[Part]:
    same = product.combination.identities
    weights = desk.account.products[product.recipe.source.id].masses
    wax_g, net_g = fsum(weights.wax_g.values()), product.combination.net_g
    for kind, folder, named, masses_g in (
        ("wax", "waxes", same.waxes, weights.wax_g),
        ("fragrance", "fragrances", same.fragrances, weights.fragrance_g),
        ("colorant", "colorants", same.colorants, weights.colorant_g),
    ):
        specs = {named_item.id: named_item.spec for named_item in named}
        for ident, mass_g in masses_g.items():
            yield Part(
                kind,
                item_link(folder, ident),
                desk.mass(mass_g),
                desk.words.percent(mass_g / wax_g),
                desk.words.percent(mass_g / net_g),
                specs[ident],
            )
