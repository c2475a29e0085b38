"""All test candles, product by product."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.lines import CandleLine, lines_of


@dataclass(frozen=True, slots=True)
class Series:
    """The test candles that were poured for one product."""

    product: Link
    candles: tuple[CandleLine, ...]


@dataclass(frozen=True, slots=True)
class CandlesPage:
    """What the index of test candles shows."""

    lead: str
    series: tuple[Series, ...]
    total: int
    own_tests: str


def tests_page(desk: Desk) -> Page:
    """Return the index of all test candles that are known on the day."""
    by_recipe: dict[str, list[CandleLine]] = {}
    for line, recipe in _told(desk):
        by_recipe.setdefault(recipe, []).append(line)
    series = tuple(
        Series(desk.product(recipe), tuple(by_recipe[ident]))
        for ident, recipe in sorted(desk.studio.recipes.items(), key=lambda one: one[1].title)
        if ident in by_recipe
    )
    content = CandlesPage(
        lead=desk.phrase("leads.tests"),
        series=series,
        total=len(desk.judged.burns),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("tests/index", desk.phrase("titles.tests"), "tests", content, 0.9)


def _told(desk: Desk) -> list[tuple[CandleLine, str]]:
    candles = [burn.candle for burn in desk.judged.burns.values()]
    recipes = {f"tests/{candle.id}": candle.seen.burn.recipe for candle in candles}
    return [(line, recipes[line.link.path]) for line in lines_of(desk, candles)]
