"""How long the studio's candles burn to the stop mark, and what a label may claim of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handbook_builder.figures.fill import Part, mixture_density_g_per_ml
from handbook_builder.figures.stop import (
    BurnDown,
    StopLife,
    life_to_stop_h,
    stop_life,
    stop_mass_g,
)
from handbook_builder.reading.kinds.making import Made
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.balance import poured_g
from handbook_builder.verdicts.seen import Seen


@dataclass(frozen=True, slots=True)
class ToStop:
    """The life to the stop mark of each passed candle of a product, by id, and of all together.

    None for a candle that went out with more wax left, or whose weighings do not show it; then
    there is no `life` of the product either, since the shortest one is not known.
    """

    lives_h: Mapping[str, float | None]
    life: StopLife | None
    is_approved: bool

    @property
    def claim_h(self) -> int | None:
        """Return what a label may claim, in hours; nothing of a product that is not approved."""
        return self.life.claim_h if self.is_approved and self.life is not None else None


def to_stop(studio: Studio, product: Product) -> ToStop:
    """Return the lives to the stop mark of a product's passed candles."""
    lives = {candle.id: candle_to_stop_h(studio, candle.seen) for candle in product.evidence.passed}
    known = [life for life in lives.values() if life is not None]
    whole = bool(known) and len(known) == len(lives)
    is_approved = product.status is Status.APPROVED
    return ToStop(lives, stop_life(known) if whole else None, is_approved)


def candle_to_stop_h(studio: Studio, seen: Seen) -> float | None:
    """Return after how many hours a test candle had burned down to the protocol's stop mark."""
    made = seen.burn.made
    mark_g = stop_mass_g(
        _density_g_per_ml(studio, made),
        studio.inside_diameter_mm(made),
        studio.protocol.stop_at_mm,
    )
    return life_to_stop_h(tuple(_burn_down(seen)), mark_g)


def _density_g_per_ml(studio: Studio, made: Made) -> float:
    """Return the density of the candle's own mixture of wax and oil, set, at 20 °C."""
    waxes = [Part(mass, studio.waxes[one].density_g_per_ml) for one, mass in made.wax.items()]
    oils = [
        Part(mass, studio.fragrances[one].density_g_per_ml) for one, mass in made.fragrance.items()
    ]
    return mixture_density_g_per_ml([*waxes, *oils])


def _burn_down(seen: Seen) -> Iterator[BurnDown]:
    """Yield the cycles with the wax left at both ends, up to the first that was not weighed.

    All that is not wax is the first weight less what was poured.
    """
    first_g = seen.cycles[0].cycle.before_g if seen.cycles else None
    if first_g is None:
        return
    other_g, from_h = first_g - poured_g(seen.burn.made), 0.0
    for cycle in seen.cycles:
        before_g, after_g, burned_h = (
            cycle.cycle.before_g,
            cycle.cycle.after_g,
            cycle.cycle.burned_h,
        )
        if before_g is None or after_g is None or burned_h is None:
            return
        yield BurnDown(from_h, from_h + burned_h, before_g - other_g, after_g - other_g)
        from_h += burned_h
