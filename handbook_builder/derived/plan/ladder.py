"""The ladder of a vessel that has no proof: which sizes of wick to light, and what that takes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum
from types import MappingProxyType

from handbook_builder.derived.account import Account
from handbook_builder.derived.board import Board
from handbook_builder.derived.diagnoses import full_share
from handbook_builder.derived.plan.calendar import Calendar, Pour, calendar_of
from handbook_builder.derived.plan.kin import Kin, Place, Rate, kin_of, pools_of, rate_at
from handbook_builder.derived.plan.needs import Need, needs_of, together
from handbook_builder.figures.ladder import Ladder, ladder
from handbook_builder.figures.load import Masses, masses
from handbook_builder.reading.kinds.making import Recipe, RecipeFill
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.fills import make_up, net_fill
from handbook_builder.verdicts.lighting import cure_days
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.screening import Screening


@dataclass(frozen=True, slots=True)
class Ask:
    """What a ladder is asked for; without oils it is of plain wax."""

    vessel: str
    wax: str
    oils: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rung:
    """One size to light: its wick, how likely it is the smallest that fills, and its rate.

    `chance` is None where burns do not tell. `failed` are candles of that size or a smaller one
    that failed too hot in a vessel as wide or wider, or too cold in one as narrow or narrower of
    that size or a larger one: it is still worth lighting, and worth an eye.
    """

    wick: str
    step: int
    chance: float | None
    rate: Rate | None
    failed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LadderPlan:
    """The ladder of one series in a vessel, and what it takes.

    `load_on_wax` is that of all oils together. `weights` are of one candle. `cycles` are those
    that show whether the pool reaches the wall.
    """

    ask: Ask
    series: str
    ladder: Ladder
    rungs: tuple[Rung, ...]
    kin: tuple[Kin, ...]
    load_on_wax: float
    net_g: float
    weights: Masses
    cycles: int
    burning_h: float
    needs: tuple[Need, ...]
    calendar: Calendar | None


def series_on_file(studio: Studio) -> tuple[str, ...]:
    """Return the series of wicks that are on file, by name."""
    return tuple(sorted({wick.series for wick in studio.wicks.values()}))


def ladder_plan(account: Account, board: Board, ask: Ask, series: str) -> LadderPlan:
    """Return the ladder of `series` for what is asked; ValueError for a series without a wick."""
    studio, day = account.studio, account.judged.as_of
    width_mm = studio.vessels[ask.vessel].inside_diameter_mm
    kin = kin_of(account, Place(width_mm, frozenset({ask.wax}), series))
    wicks = {wick.step: ident for ident, wick in sorted(studio.wicks.items(), reverse=True)
             if wick.series == series}  # fmt: skip
    found = ladder(
        pools_of(account, kin),
        tuple(wicks),
        [step for step in wicks if _fits(studio, wicks[step], width_mm)],
        full_share(studio.protocol) * width_mm,
    )
    recipes = [recipe_for(studio, ask, wicks[step]) for step in found.rungs]
    net_g = net_fill(studio, recipes[0]).net_g
    weights = masses(make_up(recipes[0]), net_g)
    cycles, cure = studio.protocol.full_pool_by, cure_days(studio, frozenset({ask.wax}))
    pour = Pour(len(found.rungs), cycles, cure)
    return LadderPlan(
        ask=ask,
        series=series,
        ladder=found,
        rungs=tuple(_rungs(found, wicks, kin, width_mm)),
        kin=kin,
        load_on_wax=fsum(recipes[0].fragrance.values()),
        net_g=net_g,
        weights=weights,
        cycles=cycles,
        burning_h=len(found.rungs) * cycles * studio.protocol.cycle_h,
        needs=together(tuple(needs_of(studio, day, one, weights, 1) for one in recipes)),
        calendar=calendar_of(account, board, pour, day),
    )


def _fits(studio: Studio, wick: str, width_mm: float) -> bool:
    fits = studio.wicks[wick].fits
    return fits is not None and not (
        exceeds(fits.at_least_mm, width_mm) or exceeds(width_mm, fits.at_most_mm)
    )


def _rungs(
    found: Ladder, wicks: dict[int, str], kin: tuple[Kin, ...], width_mm: float
) -> Iterator[Rung]:
    for step in found.rungs:
        chance = None if found.reach is None else found.reach.chances[step]
        failed = tuple(one.burned.candle.id for one in kin if _speaks_against(one, step, width_mm))
        yield Rung(wicks[step], step, chance, rate_at(kin, step), failed)


def _speaks_against(one: Kin, step: int, width_mm: float) -> bool:
    trial = one.trial
    hot = trial.too_hot and step >= trial.step and not exceeds(width_mm, one.width_mm)
    cold = trial.too_cold and step <= trial.step and not exceeds(one.width_mm, width_mm)
    return hot or cold


def recipe_for(studio: Studio, ask: Ask, wick: str) -> Recipe:
    """Return the candle that is asked for as a recipe that nobody wrote: filled to the line.

    Its load is the heaviest of the oils' recipes, else the most that wax and oils allow: the
    heaviest load is the hardest test of a wick (common practice, no published source).
    """
    loads = _heaviest(loads_of(studio, ask))
    return Recipe(
        source=studio.vessels[ask.vessel].source,
        title="",
        vessel=ask.vessel,
        wax=MappingProxyType({ask.wax: 1.0}),
        wick=wick,
        wicks=1,
        fragrance=MappingProxyType(loads),
        load_basis="wax",
        colorant=MappingProxyType({}),
        fill=RecipeFill(),
        front="labelled",
        packaging=MappingProxyType({}),
        minutes=None,
        retired=None,
        test_candles=None,
    )


def loads_of(studio: Studio, ask: Ask) -> dict[str, float]:
    """Return the load of each oil on the wax, each for a candle of its own."""
    return {oil: _load(studio, ask.wax, oil) for oil in ask.oils}


def _heaviest(loads: Mapping[str, float]) -> dict[str, float]:
    """Return the oil that a ladder is lit with, of several: the one with the heaviest load."""
    oil = max(loads, key=lambda one: (loads[one], one), default=None)
    return {} if oil is None else {oil: loads[oil]}


def _load(studio: Studio, wax: str, oil: str) -> float:
    """Return the heaviest load of an oil among the recipes with it alone in that wax."""
    loads = [
        _on_wax(recipe)
        for recipe in studio.recipes.values()
        if recipe.fragrance.keys() == {oil} and wax in recipe.wax
    ]
    most, use = studio.waxes[wax].max_load, studio.fragrances[oil].max_use
    allowed = most if use is None or use >= 1 else min(most, use / (1 - use))
    return min(allowed, max(loads, default=allowed))


def _on_wax(recipe: Recipe) -> float:
    load = fsum(recipe.fragrance.values())
    return load if recipe.load_basis == "wax" else load / (1 - load)


def without_proof(account: Account) -> Iterator[Ask]:
    """Yield each vessel that may hold a candle with each wax that no approved product has in it."""
    judged = account.judged
    for ident, screened in judged.vessels.items():
        if screened.screening is Screening.CLEARED and screened.vessel.use == "product":
            for wax in sorted(account.studio.waxes):
                if not any(_proves(product, ident, wax) for product in judged.products.values()):
                    yield Ask(ident, wax)


def _proves(product: Product, vessel: str, wax: str) -> bool:
    recipe = product.recipe
    return product.status is Status.APPROVED and recipe.vessel == vessel and wax in recipe.wax
