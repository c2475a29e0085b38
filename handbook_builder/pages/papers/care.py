"""The care card: what whoever burns the candle should know, from this candle's own burns.

Where nothing was measured the trade's advice stands, and says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.as_burned import AsBurned, FirstBurn, LongestBurn, as_burned
from handbook_builder.figures.pool import rule_of_thumb_h
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import Kind, pages_told, path_of, sender_of
from handbook_builder.pages.products.lifetime import claim_why
from handbook_builder.pages.products.misuse import happened
from handbook_builder.verdicts.approval import Product

TESTED, PRACTICE, ADVICE = "tested", "practice", "advice"


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing that the card says, and what it rests on, in words."""

    text: str
    basis: str
    is_measured: bool


@dataclass(frozen=True, slots=True)
class CareLine:
    """One thing to mind, with its sentences."""

    title: str
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class CareCard:
    """What the care card shows."""

    kicker: str
    studio: str
    sender: str
    code: str
    always: tuple[str, ...]
    lines: tuple[CareLine, ...]
    tested: str
    size: str
    as_of: date
    one_page: str
    own_tests: str


def page_of_care(desk: Desk, product: Product) -> Page:
    """Return the care card of an approved product."""
    ident = product.recipe.source.id
    content = _content(desk, product)
    return Page(
        path_of(Kind.CARE, ident), product.recipe.title, "paper_care", content, is_alone=True
    )


def _content(desk: Desk, product: Product) -> CareCard:
    figures = desk.account.products[product.recipe.source.id]
    return CareCard(
        kicker=desk.phrase("papers.kinds.care"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        code=figures.code,
        always=always(desk),
        lines=lines_of(desk, product),
        tested=desk.phrase(
            "papers.care.tested",
            candles=candles_told(desk, len(product.evidence.passed)),
            on="" if figures.tested_until is None else desk.words.day(figures.tested_until),
        ),
        size=desk.phrase("papers.care.size"),
        as_of=desk.day,
        one_page=pages_told(desk, 0, 0, len(product.recipe.title + sender_of(desk))),
        own_tests=desk.phrase("own_tests"),
    )


def always(desk: Desk) -> tuple[str, ...]:
    """Return the three statements that go with every candle."""
    return tuple(desk.words.phrases["pages"]["papers"]["always"])


def candles_told(desk: Desk, count: int) -> str:
    """Return how many test candles, in words."""
    return desk.phrase(f"papers.candles.{'one' if count == 1 else 'many'}", count=count)


def lines_of(desk: Desk, product: Product) -> tuple[CareLine, ...]:
    """Return what to mind, in the order in which it matters to whoever lights the candle."""
    found = as_burned(desk.account, product)
    told = {
        "trim": _trim(desk, found),
        "first": _first(desk, product, found),
        "longest": _longest(desk, found),
        "stop": _stop(desk, product),
        "surface": _surface(desk, found),
        "draught": _draught(desk, product),
    }
    return tuple(
        CareLine(desk.phrase(f"papers.care.titles.{key}"), tuple(sentences))
        for key, sentences in told.items()
    )


def _say(desk: Desk, key: str, basis: str, **details: object) -> Sentence:
    """Return a sentence of the card with what it rests on."""
    text = desk.phrase(f"papers.care.{key}", **details)
    return Sentence(text, desk.phrase(f"papers.bases.{basis}"), is_measured=basis == TESTED)


def _trim(desk: Desk, found: AsBurned) -> Iterator[Sentence]:
    trim = desk.words.quantity(desk.studio.protocol.trim_mm, "mm")
    yield _say(desk, "trim", TESTED, trim=trim)
    if found.highest_flame_mm is not None:
        flame = desk.words.quantity(found.highest_flame_mm, "mm")
        yield _say(desk, "flame", TESTED, flame=flame)


def _first(desk: Desk, product: Product, found: AsBurned) -> Iterator[Sentence]:
    first = found.first
    if first.unread == first.candles:
        vessel = desk.studio.vessels[product.recipe.vessel]
        rule_h = desk.words.quantity(rule_of_thumb_h(vessel.inside_diameter_mm), "h")
        yield _say(desk, "first.rule", PRACTICE, rule_h=rule_h)
    elif first.short_h:
        yield from _first_short(desk, first)
    else:
        hours = _span(desk, first.met_h)
        yield _say(desk, "first.met", TESTED, hours=hours, candles=_of(desk, first, first.met_h))


def _first_short(desk: Desk, first: FirstBurn) -> Iterator[Sentence]:
    """Yield what to do where some pool stayed short of the wall in its first burn."""
    lasted, short = _span(desk, first.short_h), _of(desk, first, first.short_h)
    yield _say(desk, "first.short", TESTED, hours=lasted, candles=short)
    if first.met_h:
        met = _of(desk, first, first.met_h)
        yield _say(desk, "first.others", TESTED, hours=_span(desk, first.met_h), candles=met)
    if first.by_burn is not None:
        yield _say(desk, "first.later", TESTED, burn=first.by_burn)


def _of(desk: Desk, first: FirstBurn, some: tuple[float, ...]) -> str:
    return desk.phrase("papers.care.of", some=len(some), candles=candles_told(desk, first.candles))


def _span(desk: Desk, hours: tuple[float, ...]) -> str:
    """Return from how long to how long, or the one time where they are alike to the minute."""
    least, most = (desk.words.quantity(hour, "h") for hour in (min(hours), max(hours)))
    return least if least == most else desk.phrase("spans.of_two", least=least, most=most)


def _longest(desk: Desk, found: AsBurned) -> Iterator[Sentence]:
    protocol, show = desk.studio.protocol, desk.words.quantity
    rest = show(protocol.rest_h, "h")
    if found.longest is None:
        yield _say(desk, "longest.unread", PRACTICE, cycle=show(protocol.cycle_h, "h"))
        return
    yield _say(desk, "longest.every", TESTED, every=show(found.longest.every_h, "h"), rest=rest)
    if _differ(found.longest):
        yield _say(desk, "longest.most", TESTED, most=show(found.longest.most_h, "h"))


def _differ(longest: LongestBurn) -> bool:
    """Return whether one candle burned a minute longer at once than every one did."""
    return round(longest.most_h * 60) > round(longest.every_h * 60)


def _stop(desk: Desk, product: Product) -> Iterator[Sentence]:
    stop_at = desk.words.quantity(desk.studio.protocol.stop_at_mm, "mm")
    yield _say(desk, "stop.at", ADVICE, stop_at=stop_at)
    hours = desk.account.products[product.recipe.source.id].to_stop.claim_h
    if hours is None:
        yield _say(desk, "stop.no_claim", TESTED, why=claim_why(desk, product))
    else:
        yield _say(desk, "stop.claim", TESTED, hours=hours)


def _surface(desk: Desk, found: AsBurned) -> Iterator[Sentence]:
    yield _say(desk, "surface.stand", PRACTICE)
    if found.hottest_wall_c is not None:
        wall = desk.words.quantity(found.hottest_wall_c, "c")
        yield _say(desk, "surface.wall", TESTED, wall=wall)


def _draught(desk: Desk, product: Product) -> Iterator[Sentence]:
    yield _say(desk, "draught.keep", PRACTICE)
    for candle in product.evidence.misuse:
        if candle.seen.burn.how == "draught":
            what = " ".join(happened(desk, candle))
            yield _say(desk, "draught.tried", TESTED, what=what)
