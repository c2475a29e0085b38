"""How a product is poured, step by step, and what to beware of."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from handbook_builder.derived.pour import Pour
from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.incidents import open_about_lots


@dataclass(frozen=True, slots=True)
class HeatRow:
    """The temperatures of one wax or oil; what is not recorded is None."""

    link: Link
    heat_to: str | None
    pour_at: str | None
    flash_point: str | None


@dataclass(frozen=True, slots=True)
class Work:
    """How one candle is filled and cured, the order of work, and what to beware of."""

    net: str
    cure_days: int
    cure: str
    heats: tuple[HeatRow, ...]
    steps: tuple[str, ...]
    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    vessel_cautions: tuple[str, ...]
    cautions_source: str


def work_of(desk: Desk, product: Product, pour: Pour, *, is_test: bool) -> Work:
    """Return how a product is poured, in words."""
    phrases = desk.words.phrases
    return Work(
        net=desk.mass(pour.net_g),
        cure_days=pour.cure_days,
        cure=desk.phrase("pour.cure", days=pour.cure_days),
        heats=_heat_rows(desk, pour),
        steps=tuple(_steps(desk, product, pour, is_test=is_test)),
        stops=stops_of(desk, product),
        cautions=(*_too_hot(desk, pour), *phrases["pages"]["pour"]["cautions"]),
        vessel_cautions=tuple(phrases["materials"][product.screened.vessel.material]),
        cautions_source=desk.phrase("cautions_source"),
    )


def stops_of(desk: Desk, product: Product) -> tuple[str, ...]:
    """Return which lots must not go into the product as long as an incident about them is open."""
    day = desk.judged.as_of
    return tuple(
        desk.phrase(
            "pour.stop",
            lot=one.lot,
            item=link_of(one.about).title,
            number=one.number,
            on=desk.words.day(one.on),
        )
        for one in open_about_lots(desk.studio, product.recipe, day)
    )


def _heat_rows(desk: Desk, pour: Pour) -> tuple[HeatRow, ...]:
    terse = replace(desk, words=desk.terse)
    return tuple(
        HeatRow(
            link_of(one.item),
            terse.maybe(one.heat_to_c, "c"),
            terse.maybe(one.pour_at_c, "c"),
            terse.maybe(one.flash_point_c, "c"),
        )
        for one in pour.heats
    )


def link_of(item: str) -> Link:
    """Return the link to an item named with its folder."""
    folder, _, ident = item.partition("/")
    return item_link(folder, ident)


def _steps(desk: Desk, product: Product, pour: Pour, *, is_test: bool) -> Iterator[str]:
    figures = desk.account.products[product.recipe.source.id]
    yield desk.phrase("pour.steps.compare", code=figures.code)
    yield desk.phrase("pour.steps.vessels")
    yield _heated(desk, "wax", pour.heat_to_c)
    if product.recipe.colorant:
        yield desk.phrase("pour.steps.colorant")
    if product.recipe.fragrance:
        yield _oil(desk, pour)
    yield _heated(desk, "pour", pour.pour_at_c)
    yield desk.phrase("pour.steps.fill", net=desk.mass(pour.net_g))
    yield desk.phrase("pour.steps.rest")
    yield desk.phrase("pour.steps.weigh")
    for key in ("mark", "burns") if is_test else ("caution_label", "batch"):
        yield desk.phrase(f"pour.steps.{key}")


def _heated(desk: Desk, key: str, heat_c: float | None) -> str:
    if heat_c is None:
        return desk.phrase(f"pour.steps.{key}_unknown")
    return desk.phrase(f"pour.steps.{key}", heat=desk.words.quantity(heat_c, "c"))


def _oil(desk: Desk, pour: Pour) -> str:
    """Return the step for the oils, which wait until the wax is below their flash points."""
    points = [
        one.flash_point_c
        for one in pour.too_hot
        if one.flash_point_c is not None and one.item.startswith("fragrances/")
    ]
    if not points:
        return desk.phrase("pour.steps.oil")
    return desk.phrase("pour.steps.oil_cooled", flash=desk.words.quantity(min(points), "c"))


def _too_hot(desk: Desk, pour: Pour) -> Iterator[str]:
    for one in pour.too_hot:
        folder = one.item.partition("/")[0]
        yield desk.phrase(
            f"pour.too_hot.{folder}",
            item=link_of(one.item).title,
            flash=desk.maybe(one.flash_point_c, "c"),
            heat=desk.maybe(pour.heat_to_c, "c"),
        )
