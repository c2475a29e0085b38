"""The pour of one product: its mix, the scale at the bench, its temperatures and its cure."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.derived.heat import Heat, Order, order_of
from handbook_builder.derived.takes import kept_ppm
from handbook_builder.figures.load import blended_limit
from handbook_builder.figures.pour import MILLION, Mix, Scale, micrograms, scale_of
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.judge import burned_of

USUAL_STEP_G: Final = 0.1
_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Pour:
    """Everything about pouring a product but how many.

    `heats` are those of each wax and oil, `order` is what the waxes together ask for.
    """

    mix: Mix
    scale: Scale
    pitcher_loss: float
    tolerance: float
    net_g: float
    cure_days: int
    heats: tuple[Heat, ...]
    order: Order


def pour_of(account: Account, ident: str, scale: Scale | None = None) -> Pour:
    """Return the pour of a product, on `scale` or on the one that its newest test candle names."""
    studio, product = account.studio, account.judged.products[ident]
    heats = tuple(_heats(studio, product.recipe))
    return Pour(
        mix=_mix(account, product),
        scale=scale or scale_of(newest_step_g(account, product)),
        pitcher_loss=studio.info.pitcher_loss,
        tolerance=studio.protocol.load_tolerance,
        net_g=product.combination.net_g,
        cure_days=_cure_days(studio, product.recipe),
        heats=heats,
        order=order_of(heats),
    )


def newest_step_g(account: Account, product: Product) -> float:
    """Return the readability of the scale that the product's newest test candle was weighed on."""
    ident, evidence = product.recipe.source.id, product.evidence
    candles = {
        each_burn.candle.id: each_burn.candle.seen.burn
        for each_burn in burned_of(account.judged).get(ident, ())
    }
    # A recipe whose candle another recipe proved has no test candles of its own.
    shared = (evidence.passed, evidence.failed, evidence.burning, evidence.incomplete)
    candles |= {candle.id: candle.seen.burn for several in shared for candle in several}
    dated = [(burn.made.on, burn.source.id, burn.scale_g) for burn in candles.values()]
    return max(dated)[2] if dated else USUAL_STEP_G


def _mix(account: Account, product: Product) -> Mix:
    protocol = account.studio.protocol
    masses = account.products[product.recipe.source.id].masses
    return Mix(
        wax_ug=_micrograms(masses.wax_g),
        oil_ug=_micrograms(masses.fragrance_g),
        colorant_ug=_micrograms(masses.colorant_g),
        down=frozenset(_at_limit(account, product)),
        kept_ppm=kept_ppm(account.studio),
        tolerance_ppm=round(protocol.load_tolerance * MILLION),
    )


def _micrograms(masses_g: Mapping[str, float]) -> dict[str, int]:
    return {ident: micrograms(mass_g) for ident, mass_g in masses_g.items()}


def _at_limit(account: Account, product: Product) -> Iterator[str]:
    """Yield the oils that rounding up within the tolerance could carry over a limit."""
    studio, make_up = account.studio, product.combination.make_up
    tolerance = studio.protocol.load_tolerance
    limits = {ident: studio.waxes[ident].max_load for ident in make_up.wax}
    load = account.products[product.recipe.source.id].load_on_wax
    # A share of the finished candle weighs more when it is told of the wax alone.
    rise = tolerance * (1.0 + load) ** 2
    full = load + rise > blended_limit(make_up.wax, limits) - _SLACK
    for ident, share in make_up.fragrance.items():
        most = studio.fragrances[ident].max_use
        if full or (most is not None and share + tolerance > most - _SLACK):
            yield ident


def _cure_days(studio: Studio, recipe: Recipe) -> int:
    """Return the longest cure of its waxes in whole days: a day that has begun counts whole."""
    return math.ceil(max(studio.waxes[ident].cure_days for ident in recipe.wax) - _SLACK)


def _heats(studio: Studio, recipe: Recipe) -> Iterator[Heat]:
    for ident in recipe.wax:
        wax = studio.waxes[ident]
        item = Ref.to("waxes", ident)
        yield Heat(item, wax.heat_to_c, wax.add_at_c, wax.pour_at_c, wax.flash_point_c)
    for ident in recipe.fragrance:
        flash_c = studio.fragrances[ident].flash_point_c
        yield Heat(Ref.to("fragrances", ident), None, None, None, flash_c)
