"""Change one thing: test candles or recipes side by side, what differs first."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from handbook_builder.derived.compare import (
    RATE,
    READINGS,
    Compared,
    Comparison,
    Factor,
    Side,
    burn_side,
    came_to,
    comparison,
)
from handbook_builder.derived.pairs import Pair, pairs_of, series_of
from handbook_builder.pages.board.reckoned import several
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.columns import cell, head_unit
from handbook_builder.pages.tests.glance import BurnPicture, picture_of
from handbook_builder.pages.tests.pictures import Strip, strips_by_cycle
from handbook_builder.verdicts.candles import CandleVerdict

FOLDER: Final = "compare"
_BOOST: Final = 0.5  # in the search after the pages of the candles themselves


@dataclass(frozen=True, slots=True)
class SideHead:
    """The head of a side: its page, and its short name for the columns."""

    link: Link
    short: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows with a head and a cell for each side; None is a reading that was not taken."""

    title: str
    head: str
    unit: str
    numeric: bool
    rows: tuple[tuple[str | None, ...], ...]


@dataclass(frozen=True, slots=True)
class ComparePage:
    """What a comparison shows."""

    why: str
    verdict: str
    sides: tuple[SideHead, ...]
    differs: Table
    alike: Table
    allowed: str
    came_to: Table
    glances: tuple[BurnPicture, ...]
    readings: tuple[Table, ...]
    no_cycles: str
    pictures: tuple[Strip, ...]
    means: str
    own_tests: str


def compare_pages(desk: Desk) -> Iterator[Page]:
    """Yield the comparisons that are worth a page: each series, and the few pairs."""
    for recipe, candles in series_of(desk.account).items():
        product = desk.studio.recipes[recipe].title
        title = desk.phrase("compare.series", product=product)
        yield _page(desk, recipe, title, candles, "series")
    for pair in pairs_of(desk.account):
        yield _page(desk, pair.id, _title(desk, pair), (pair.one, pair.other), pair.reason)


def _title(desk: Desk, pair: Pair) -> str:
    one, other = desk.test(pair.one).title, desk.test(pair.other).title
    return desk.phrase("compare.title", one=one, other=other)


def _page(desk: Desk, name: str, title: str, candles: tuple[str, ...], reason: str) -> Page:
    sides = [burn_side(desk.account, ident) for ident in candles]
    content = compare_content(desk, comparison(desk.account, sides), reason)
    return Page(f"{FOLDER}/{name}", title, "compare", content, _BOOST)


def offers_of(desk: Desk) -> Mapping[str, tuple[Link, ...]]:
    """Return, for each test candle, the comparisons that its page leads to."""
    found: dict[str, list[Link]] = defaultdict(list)
    for recipe, candles in series_of(desk.account).items():
        link = Link(desk.phrase("compare.offers.series"), f"{FOLDER}/{recipe}")
        for ident in candles:
            found[ident].append(link)
    for pair in pairs_of(desk.account):
        one, other = desk.test(pair.one).title, desk.test(pair.other).title
        told = desk.phrase(f"compare.offers.{pair.reason}", one=one, other=other)
        for ident in sorted(pair.candles):
            found[ident].append(Link(told, f"{FOLDER}/{pair.id}"))
    return {ident: tuple(links) for ident, links in found.items()}


def compare_content(desk: Desk, found: Comparison, reason: str = "asked") -> ComparePage:
    """Return what a comparison shows, on its page and in the terminal alike."""
    recipes = any(side.is_recipe for side in found.sides)
    return ComparePage(
        why=desk.phrase(f"compare.why.{reason}"),
        verdict=_verdict(desk, found),
        sides=_heads(desk, found.sides),
        differs=_factors(desk, "differs", found.unlike),
        alike=_factors(desk, "alike", [factor for factor in found.factors if not factor.differs]),
        allowed=desk.phrase("compare.allowed"),
        came_to=_came_to(desk, found.sides),
        glances=_glances(desk, found.sides),
        readings=tuple(_readings(desk, found)),
        no_cycles=desk.phrase("compare.no_cycles"),
        pictures=strips_by_cycle(desk, _candles(found), 2),
        means=desk.phrase("compare.means") if recipes else "",
        own_tests=desk.phrase("own_tests"),
    )


def _glances(desk: Desk, sides: tuple[Side, ...]) -> tuple[BurnPicture, ...]:
    """Return the burns at a glance, as long as candles are compared and not whole recipes."""
    if any(side.is_recipe for side in sides):
        return ()
    found = (picture_of(desk, side.candles[0]) for side in sides)
    return tuple(picture for picture in found if picture is not None)


def _candles(found: Comparison) -> Iterator[CandleVerdict]:
    """Yield every candle that is compared, each once."""
    seen: set[str] = set()
    for side in found.sides:
        for one in side.candles:
            if one.candle.id not in seen:
                seen.add(one.candle.id)
                yield one.candle


def _verdict(desk: Desk, found: Comparison) -> str:
    if not found.unlike:
        return desk.phrase("compare.unlike.none")
    called = ", ".join(desk.words.factor(one.factor, one.item) for one in found.unlike)
    return several(desk, "compare.unlike", len(found.unlike), factors=called)


def _heads(desk: Desk, sides: tuple[Side, ...]) -> tuple[SideHead, ...]:
    """Return the sides by their letters alone when all are candles of one recipe."""
    recipes = {_recipe(desk, side) for side in sides}
    alone = len(recipes) == 1 and not any(side.is_recipe for side in sides)
    return tuple(SideHead(_link(desk, side), _short(desk, side, alone=alone)) for side in sides)


def _recipe(desk: Desk, side: Side) -> str:
    return side.id if side.is_recipe else desk.studio.burns[side.id].recipe


def _short(desk: Desk, side: Side, *, alone: bool) -> str:
    """Return the name for the head of a column: the recipe's, a candle's letter, or both."""
    recipe = name_of(_recipe(desk, side))
    if side.is_recipe:
        return recipe
    letter = desk.studio.burns[side.id].candle
    return letter if alone else f"{recipe} {letter}"


def _link(desk: Desk, side: Side) -> Link:
    return desk.product(desk.studio.recipes[side.id]) if side.is_recipe else desk.test(side.id)


def _factors(desk: Desk, name: str, factors: Iterable[Factor]) -> Table:
    rows = tuple(
        (
            _capital(desk.words.factor(factor.factor, factor.item)),
            *(desk.words.factor_value(factor.factor, value) for value in factor.values),
        )
        for factor in factors
    )
    title, head = desk.phrase(f"compare.{name}"), desk.phrase("compare.factor")
    return Table(title, head, "", numeric=False, rows=rows)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _came_to(desk: Desk, sides: tuple[Side, ...]) -> Table:
    columns = [_facts(desk, side) for side in sides]
    rows = tuple(
        (desk.phrase(f"compare.rows.{name}"), *(column[name] for column in columns))
        for name in columns[0]
        if any(column[name] is not None for column in columns)
    )
    title, head = desk.phrase("compare.came_to"), desk.phrase("compare.fact")
    return Table(title, head, "", numeric=False, rows=rows)


def _facts(desk: Desk, side: Side) -> dict[str, str | None]:
    found = came_to(desk.account, side)
    grams, rate = found.consumed_g, found.rate_g_per_h
    return {
        "verdict": _word(desk, side),
        **_circumstances(desk, side),
        "cycles": ", ".join(map(str, found.cycles)) or None,
        "hours": desk.maybe(found.hours_h, "h"),
        "consumed": None if grams is None else desk.mass(grams),
        "rate": None if rate is None else desk.phrase("rate", rate=f"{rate:.2f}"),
    }


def _word(desk: Desk, side: Side) -> str:
    if not side.is_recipe:
        return desk.words.verdict(side.candles[0].candle.verdict).word
    product = desk.judged.products[side.id]
    passed, failed = len(product.evidence.passed), len(product.evidence.failed)
    counts = desk.phrase("compare.of_recipe", passed=passed, failed=failed)
    return f"{desk.words.status(product.status).word} ({counts})"


def _circumstances(desk: Desk, side: Side) -> dict[str, str | None]:
    """Return what is no part of the make-up, and can still make a difference."""
    if side.is_recipe:
        return dict.fromkeys(("poured", "cured", "room"))
    seen = side.candles[0].candle.seen
    poured = seen.burn.made.on
    cured = (seen.cycles[0].cycle.on.day - poured).days if seen.cycles else None
    return {
        "poured": poured.isoformat(),
        "cured": None if cured is None else desk.words.quantity(cured, "days"),
        "room": desk.maybe(seen.burn.room_c, "c"),
    }


def _readings(desk: Desk, found: Comparison) -> Iterator[Table]:
    """Yield a table for each reading that was ever taken, and one of what was seen."""
    head = desk.phrase("compare.cycle")
    for name, cycles in found.readings.items():
        compared = READINGS[name]
        rows = tuple(
            (str(number), *(cell(desk, value, compared.unit) for value in values))
            for number, values in enumerate(cycles, 1)
        )
        if any(value is not None for values in cycles for value in values):
            unit = head_unit(desk, compared.unit)
            yield Table(_called(desk, compared), head, unit, numeric=True, rows=rows)
    if any(words for cycle in found.seen for words in cycle):
        yield Table(desk.phrase("compare.seen"), head, "", numeric=False, rows=_seen(desk, found))


def _called(desk: Desk, compared: Compared) -> str:
    if compared is RATE:
        return desk.phrase("worked_out.rate")
    return desk.words.reading(compared.key)


def _seen(desk: Desk, found: Comparison) -> tuple[tuple[str | None, ...], ...]:
    return tuple(
        (str(number), *(", ".join(map(desk.words.seen, words)) or None for words in cycle))
        for number, cycle in enumerate(found.seen, 1)
    )
