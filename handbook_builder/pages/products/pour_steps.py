"""How a product is poured, step by step, and what to beware of."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from handbook_builder.derived.heat import Order
from handbook_builder.derived.pour import Pour
from handbook_builder.pages.desk import Desk, Link, ref_link
from handbook_builder.pages.products.provisos import stops_of
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class HeatRow:
    """The temperatures of one wax; what is not recorded is None."""

    link: Link
    heat_to: str | None
    add_at: str | None
    pour_at: str | None
    flash_point: str | None


@dataclass(frozen=True, slots=True)
class Work:
    """How one candle is filled and cured, the order of work, and what to beware of.

    `roles` say of each step what is weighed for it: the wax, an oil, a colorant, or nothing.
    """

    net: str
    cure_days: int
    cure: str
    heats: tuple[HeatRow, ...]
    steps: tuple[str, ...]
    roles: tuple[str, ...]
    stops: tuple[str, ...]
    cautions: tuple[str, ...]
    vessel_cautions: tuple[str, ...]
    cautions_source: str

    @property
    def all_cautions(self) -> tuple[str, ...]:
        """Return all to beware of, what stops a pour first, and where it comes from."""
        return (*self.stops, *self.cautions, *self.vessel_cautions, self.cautions_source)

    def cured_on(self, poured_on: date) -> date:
        """Return the day on which a candle of that day's pour is cured."""
        return poured_on + timedelta(days=self.cure_days)


def work_of(desk: Desk, product: Product, pour: Pour, *, is_test: bool) -> Work:
    """Return how a product is poured, in words."""
    phrases = desk.words.phrases
    steps = tuple(_steps(desk, product, pour, is_test=is_test))
    return Work(
        net=desk.mass(pour.net_g),
        cure_days=pour.cure_days,
        cure=desk.phrase("pour.cure", days=pour.cure_days),
        heats=_heat_rows(desk, pour),
        steps=tuple(text for _, text in steps),
        roles=tuple(role for role, _ in steps),
        stops=stops_of(desk, product),
        cautions=(*_heat_cautions(desk, pour), *phrases["pages"]["pour"]["cautions"]),
        vessel_cautions=tuple(phrases["materials"][product.screened.vessel.material]),
        cautions_source=desk.phrase("cautions_source"),
    )


def _heat_rows(desk: Desk, pour: Pour) -> tuple[HeatRow, ...]:
    """Return the temperatures of the waxes; an oil's flash point is a caution, and no heat."""
    return tuple(
        HeatRow(
            ref_link(heat.item),
            desk.maybe(heat.heat_to_c, "c"),
            desk.maybe(heat.add_at_c, "c"),
            desk.maybe(heat.pour_at_c, "c"),
            desk.maybe(heat.flash_point_c, "c"),
        )
        for heat in pour.heats
        if heat.is_wax
    )


def _steps(desk: Desk, product: Product, pour: Pour, *, is_test: bool) -> Iterator[tuple[str, str]]:
    """Yield each step with what is weighed for it."""
    figures = desk.account.products[product.recipe.source.id]
    yield "", desk.phrase("pour.steps.compare", code=figures.code)
    yield "", desk.phrase("pour.steps.vessels")
    yield "wax", _heated(desk, pour.order, "wax", "heat_to")
    if product.recipe.colorant:
        yield "colorant", desk.phrase("pour.steps.colorant")
    if product.recipe.fragrance:
        yield "oil", _heated(desk, pour.order, "oil", "add_at")
    yield "", _poured(desk, pour.order)
    yield "", desk.phrase("pour.steps.fill", net=desk.mass(pour.net_g))
    for key in ("rest", "weigh", *(("mark", "burns") if is_test else ("caution_label", "batch"))):
        yield "", desk.phrase(f"pour.steps.{key}")


def _heated(desk: Desk, order: Order, step: str, name: str) -> str:
    """Return a step with the heat that the records name, unless it must not be ordered."""
    heat_c = order.written[name]
    if heat_c is None:
        return desk.phrase(f"pour.steps.{step}_unknown")
    way = f"{step}_withheld" if name in order.withheld else step
    return desk.phrase(f"pour.steps.{way}", heat=desk.words.quantity(heat_c, "c"))


def _poured(desk: Desk, order: Order) -> str:
    """Return the step of pouring, which warms the wax again where the oil went in cooler."""
    add_c, pour_c = order.add_at_c, order.pour_at_c
    is_warmer = add_c is not None and pour_c is not None and pour_c > add_c
    return _heated(desk, order, "pour_warmer" if is_warmer else "pour", "pour_at")


def _heat_cautions(desk: Desk, pour: Pour) -> Iterator[str]:
    """Yield what to mind of heat: records that contradict themselves, then the oils' vapour."""
    waxes = [ref_link(heat.item).title for heat in pour.heats if heat.is_wax]
    if pour.order.withheld:
        yield desk.phrase("pour.contradiction", items=", ".join(waxes))
    oils = [heat for heat in pour.heats if not heat.is_wax]
    known = [
        desk.phrase(
            "pour.flash", item=ref_link(oil.item).title, flash=desk.maybe(oil.flash_point_c, "c")
        )
        for oil in oils
        if oil.flash_point_c is not None
    ]
    if known:
        yield desk.phrase("pour.vapour", flashes=", ".join(known))
    elif oils:
        yield desk.phrase("pour.vapour_unknown")
