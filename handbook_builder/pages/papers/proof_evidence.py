"""What a proof rests on: the make-up, the odds, and the test candles in a list and in charts."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.papers.filed import core_told
from handbook_builder.pages.papers.places import From, Stated, come_from, from_record
from handbook_builder.pages.papers.proof_trade import candles_of
from handbook_builder.pages.products.evidence import odds
from handbook_builder.pages.products.lifetime import claim_shown, claim_why, interval
from handbook_builder.pages.products.make_up import Part, parts_of
from handbook_builder.pages.tests.charts import Chart, charts_of
from handbook_builder.pages.tests.lines import line_of
from handbook_builder.reading.shape import Source
from handbook_builder.verdicts.approval import Product, every_candle
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class ProofPart:
    """One thing in the candle, and the lines that say so."""

    part: Part
    places: tuple[From, ...]


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One test candle in the list of all."""

    name: str
    id: str
    word: Word
    poured: date
    last_lit: date | None
    cycles: int
    hours: str
    place: From


@dataclass(frozen=True, slots=True)
class Drawn:
    """One chart, and the records that hold its numbers."""

    chart: Chart
    places: tuple[From, ...]


def make_up_of(desk: Desk, product: Product) -> tuple[ProofPart, ...]:
    """Return what is in one candle, each with its line of the recipe."""
    source = product.recipe.source
    return tuple(
        ProofPart(part, from_record(desk, source, *_keys(part, source)))
        for part in parts_of(desk, product)
    )


def _keys(part: Part, source: Source) -> tuple[str, ...]:
    """Return the keys of a recipe that say what a part is, and how much of it there is."""
    if part.kind == "wick":
        return ("wick", "wicks") if "wicks" in source.places else ("wick",)
    ident = part.link.path.rpartition("/")[2]
    return (f"{part.kind}.{ident}", "fill") if part.of_total else (part.kind,)


def facts_of(desk: Desk, product: Product) -> Iterator[Stated]:
    """Yield the numbers that the test candles come to, each with the records of those candles."""
    ident = product.recipe.source.id
    figures, burned = desk.account.products[ident], _burned(desk, product)
    recipe, wick = product.recipe.source, desk.studio.wicks[product.recipe.wick]
    yield _stated(desk, "net", desk.mass(figures.fill.net_g), from_record(desk, recipe, "fill"))
    yield _stated(
        desk,
        "load",
        desk.words.percent(figures.load_on_wax),
        from_record(desk, recipe, "fragrance"),
    )
    claim = claim_shown(desk, product) or desk.phrase("lifetimes.nothing")
    yield _stated(desk, "claim", claim, burned, claim_why(desk, product))
    if figures.life is not None:
        shortest = desk.words.quantity(figures.life.shortest_h, "h")
        yield _stated(desk, "shortest", shortest, burned, interval(desk, product))
    if figures.rate_g_per_h is not None:
        rate = desk.phrase("rate", rate=f"{figures.rate_g_per_h:.2f}")
        yield _stated(desk, "rate", rate, burned)
    yield _stated(desk, "core", core_told(desk, product), from_record(desk, wick.source, "core"))


def _stated(desk: Desk, key: str, text: str, places: tuple[From, ...], note: str = "") -> Stated:
    return Stated(desk.phrase(f"papers.proof.facts.{key}"), text, places, note)


def _burned(desk: Desk, product: Product) -> tuple[From, ...]:
    """Return the cycles of the candles that passed, or the recipe while none has."""
    passed = product.evidence.passed
    found = [come_from(desk, candle.seen.burn.source.place("cycles")) for candle in passed]
    return tuple(found) or from_record(desk, product.recipe.source)


def odds_of(desk: Desk, product: Product) -> Stated:
    """Return how strong the evidence is, with the record of every candle that counts."""
    counting = (*product.evidence.passed, *product.evidence.failed)
    places = tuple(come_from(desk, candle.seen.burn.source.place("end")) for candle in counting)
    places = places or from_record(desk, product.recipe.source)
    return Stated(desk.phrase("papers.proof.odds"), odds(desk, product).sentence, places)


def lines_of(desk: Desk, product: Product) -> tuple[ProofLine, ...]:
    """Return every test candle of the make-up in a line."""
    return tuple(_line(desk, candle) for candle in candles_of(product.evidence))


def _line(desk: Desk, candle: CandleVerdict) -> ProofLine:
    line, source = line_of(desk, candle), candle.seen.burn.source
    return ProofLine(
        name=line.candle,
        id=candle.id,
        word=line.word,
        poured=line.poured,
        last_lit=line.last_lit,
        cycles=line.cycles,
        hours=line.hours,
        place=come_from(desk, source.place("candle")),
    )


def former_of(desk: Desk, product: Product) -> Iterator[Stated]:
    """Yield the test candles of former make-ups, which prove nothing about this one."""
    for miss in product.near_misses:
        burn = miss.candle.seen.burn
        text = desk.phrase(
            "papers.proof.former",
            verdict=desk.phrase(f"former.verdicts.{miss.candle.verdict}"),
            differences="; ".join(map(desk.words.difference, miss.differences)),
        )
        label = desk.phrase("papers.proof.candle", candle=burn.candle)
        yield Stated(label, text, from_record(desk, burn.source, "made"))


def drawn_of(desk: Desk, product: Product) -> tuple[Drawn, ...]:
    """Return the charts of a product's test candles."""
    candles = every_candle(product)
    lit = (candle.seen.burn.source for candle in candles if candle.seen.cycles)
    places = tuple(come_from(desk, source.place("cycles")) for source in lit)
    return tuple(Drawn(chart, places) for chart in charts_of(desk, candles))
