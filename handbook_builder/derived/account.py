"""Everything worked out about a studio as of a day, once: verdicts and figures side by side."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from math import fsum
from types import MappingProxyType

from handbook_builder.derived.batches import BatchFigures, batches_of
from handbook_builder.derived.burns import BurnFigures, burn_figures
from handbook_builder.derived.money.account import Money, money_of
from handbook_builder.derived.to_stop import ToStop, to_stop
from handbook_builder.figures.evidence import failure_upper_bound
from handbook_builder.figures.life import Life, life
from handbook_builder.figures.load import Masses, masses, total_load_on_wax
from handbook_builder.once import Found
from handbook_builder.reading.kinds.items import Vessel
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.combination import code_of_combination
from handbook_builder.verdicts.fills import NetFill, brim_ml, net_fill, volume_ml
from handbook_builder.verdicts.judge import Judged, judge


@dataclass(frozen=True, slots=True)
class ProductFigures:
    """The figures of one product; lives and rates are of its passed candles.

    `life` is to the end, as the test has it; `to_stop` is what a label may speak of.
    """

    code: str
    fill: NetFill
    masses: Masses
    load_on_wax: float
    life: Life | None
    to_stop: ToStop
    rate_g_per_h: float | None
    failure_upper_95: float | None
    tested_until: date | None


@dataclass(frozen=True, slots=True)
class VesselFigures:
    """The figures of one vessel."""

    fill_ml: float
    brim_ml: float | None


@dataclass(frozen=True, slots=True)
class Account:
    """The studio judged and reckoned up; without `money` it is for everyone at the bench.

    `guides` are the editions of the guides in force, by name.
    """

    judged: Judged
    money: Money | None
    vessels: Mapping[str, VesselFigures]
    burns: Mapping[str, BurnFigures]
    burn_codes: Mapping[str, str]
    products: Mapping[str, ProductFigures]
    batches: Mapping[str, BatchFigures]
    guides: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def studio(self) -> Studio:
        """Return the studio that was reckoned up."""
        return self.judged.studio


def account_of(
    studio: Studio, day: date, guides: Mapping[str, str] = MappingProxyType({})
) -> Account:
    """Return all verdicts and figures of `studio` as of `day`."""
    judged = judge(studio, day)
    burns = Found(judged.burns, lambda ident: _burn(judged, ident))
    products = Found(judged.products, lambda ident: _product(studio, judged.products[ident], burns))
    weights = Found(judged.products, lambda ident: products[ident].masses)
    return Account(
        judged,
        money_of(judged, weights, burns),
        Found(studio.vessels, lambda ident: _vessel(studio.vessels[ident])),
        burns,
        Found(judged.burns, lambda ident: _burn_code(judged, products, ident)),
        products,
        batches_of(judged),
        MappingProxyType(dict(guides)),
    )


def _burn(judged: Judged, ident: str) -> BurnFigures:
    seen = judged.burns[ident].candle.seen
    return burn_figures(seen, judged.studio.inside_diameter_mm(seen.burn.made))


def _vessel(vessel: Vessel) -> VesselFigures:
    return VesselFigures(volume_ml(vessel, vessel.fill), brim_ml(vessel))


def _product(studio: Studio, product: Product, burns: Mapping[str, BurnFigures]) -> ProductFigures:
    passed = [burns[candle.id] for candle in product.evidence.passed]
    hours, consumed = (
        fsum(candle.hours_h for candle in passed),
        fsum(candle.consumed_g for candle in passed),
    )
    fill = net_fill(studio, product.recipe)
    weights = masses(product.combination.make_up, fill.net_g)
    no_failure = passed and not product.evidence.failed
    return ProductFigures(
        code=code_of_combination(product.combination),
        fill=fill,
        masses=weights,
        load_on_wax=total_load_on_wax(product.combination.make_up),
        life=life([candle.hours_h for candle in passed]) if passed else None,
        to_stop=to_stop(studio, product),
        rate_g_per_h=consumed / hours if hours else None,
        failure_upper_95=failure_upper_bound(len(passed)) if no_failure else None,
        tested_until=max(
            (candle.seen.cycles[-1].cycle.on.day for candle in product.evidence.passed),
            default=None,
        ),
    )


def _burn_code(judged: Judged, products: Mapping[str, ProductFigures], ident: str) -> str:
    """Return the code of what a test candle is evidence for, or of what it was itself.

    A weighed candle never has its recipe's shares to the last digit; when it counts for its own
    recipe, it bears that recipe's code.
    """
    burned = judged.burns[ident]
    recipe = burned.candle.seen.burn.recipe
    if ident in {miss.candle.id for miss in judged.products[recipe].near_misses}:
        return code_of_combination(burned.combination)
    return products[recipe].code
