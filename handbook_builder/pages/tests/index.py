"""All test candles: each product's in a row of squares, and every one of them, the newest first."""

from collections import Counter
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.lines import CandleLine, lines_of
from handbook_builder.verdicts.readings import Verdict
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Series:
    """The test candles that were poured for one product."""

    product: Link
    candles: tuple[CandleLine, ...]


@dataclass(frozen=True, slots=True)
class CandlesPage:
    """What the index of test candles shows; `newest` are all of them, the last lit first."""

    lead: str
    counts: tuple[tuple[Word, int], ...]
    series: tuple[Series, ...]
    newest: tuple[tuple[Link, CandleLine], ...]
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
        counts=_counts(desk),
        series=series,
        newest=_newest(series),
        total=len(desk.judged.burns),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("tests/index", desk.phrase("titles.tests"), "tests", content, 0.9)


def _counts(desk: Desk) -> tuple[tuple[Word, int], ...]:
    """Return how many candles have each verdict, without those that none has."""
    counts = Counter(burned.candle.verdict for burned in desk.judged.burns.values())
    return tuple((desk.words.verdict(word), counts[word]) for word in Verdict if counts[word])


def _newest(series: tuple[Series, ...]) -> tuple[tuple[Link, CandleLine], ...]:
    found = [(one.product, line) for one in series for line in one.candles]
    return tuple(sorted(found, key=lambda told: told[1].last_lit or told[1].poured, reverse=True))


def _told(desk: Desk) -> list[tuple[CandleLine, str]]:
    candles = [burn.candle for burn in desk.judged.burns.values()]
    recipes = {f"tests/{candle.id}": candle.seen.burn.recipe for candle in candles}
    return [(line, recipes[line.link.path]) for line in lines_of(desk, candles)]
