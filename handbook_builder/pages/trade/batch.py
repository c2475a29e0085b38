"""One page a batch: whether it may go out, what went in, from which lots, and who has it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.derived.batches import BatchFigures
from handbook_builder.derived.lots import deliveries_of
from handbook_builder.figures.net import LotCheck
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Link, Said, ref_link
from handbook_builder.pages.page import Page, Stands
from handbook_builder.pages.trade.parts import (
    Handed,
    batch_link,
    handed_from,
    item_name,
    lot_link,
    state_word,
)
from handbook_builder.reading.kinds.trade import Batch
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.words import Word

# Candles that went out before they were cured: told by themselves, and first.
EARLY: Final = "given_uncured"


@dataclass(frozen=True, slots=True)
class LotUsed:
    """One thing that went in, its lot, and the days on which the lot was delivered."""

    item: Link
    lot: Link
    delivered: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class KeptBack:
    """Candles that stay in the studio for good."""

    on: date
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class NetCheck:
    """The filled masses of a batch against the label, by the rule of one market.

    `outside` says why there is no check; then there are no facts.
    """

    market: str
    word: Word | None
    outside: str
    facts: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class BatchPage:
    """What the page of a batch shows."""

    id: str
    product: Link
    word: Word
    reasons: tuple[Said, ...]
    early: tuple[Said, ...]
    remarks: tuple[Said, ...]
    poured: date
    by: str
    made: int
    out: int
    left: int
    lots: tuple[LotUsed, ...]
    weighed: tuple[tuple[Link, str], ...]
    load: str | None
    fill: str | None
    fill_due: str
    nets: tuple[str, ...]
    net_mean: str | None
    declared: str
    checks: tuple[NetCheck, ...]
    net_note: str
    handed: tuple[Handed, ...]
    kept: tuple[KeptBack, ...]
    notes: str
    more: Beside | None
    own_tests: str


def page_of_batch(desk: Desk, ident: str) -> Page:
    """Return the page of one batch; the search finds it by its id, its lots and who has it."""
    batch, link = desk.studio.batches[ident], batch_link(desk, ident)
    content = _content(desk, batch)
    buyers = (one.to for one in content.handed if one.to is not None)
    words = (ident, *dict.fromkeys((*batch.lots.values(), *buyers)))
    stands = Stands(content.word, desk.words.day(batch.on))
    return Page(link.path, link.title, "batch", content, 1.1, words, stands=stands)


def _content(desk: Desk, batch: Batch) -> BatchPage:
    figures = desk.account.batches[batch.source.id]
    recipe = desk.studio.recipes[batch.recipe]
    mean, load = figures.mean_net_g, figures.load_on_wax
    return BatchPage(
        id=batch.source.id,
        product=desk.product(recipe),
        word=state_word(desk, figures),
        reasons=tuple(desk.said(reason) for reason in figures.verdict.reasons),
        early=tuple(desk.said(note) for note in figures.verdict.notes if note.code == EARLY),
        remarks=tuple(desk.said(note) for note in figures.verdict.notes if note.code != EARLY),
        poured=batch.on,
        by=batch.by,
        made=figures.made,
        out=figures.given,
        left=figures.left,
        lots=tuple(_lots(desk, batch)),
        weighed=tuple(_weighed(desk, batch)),
        load=None if load is None else desk.words.percent(load),
        fill=None if figures.fill_g is None else desk.mass(figures.fill_g),
        fill_due=desk.mass(net_fill(desk.studio, recipe).net_g),
        nets=tuple(desk.mass(mass_g) for mass_g in batch.net_g),
        net_mean=None if mean is None else desk.mass(mean),
        declared=_declared(desk, figures),
        checks=tuple(_check(desk, market, one) for market, one in figures.checks.items()),
        net_note=desk.phrase("net_note"),
        handed=handed_from(desk, (batch,)),
        kept=tuple(
            KeptBack(one.on, one.count, one.why) for one in batch.kept if one.on <= desk.day
        ),
        notes=batch.source.body,
        more=beside_of(desk, batch.source),
        own_tests=desk.phrase("own_tests"),
    )


def _lots(desk: Desk, batch: Batch) -> Iterator[LotUsed]:
    for item, lot in batch.lots.items():
        bills = deliveries_of(desk.studio, desk.day, item, lot)
        delivered = tuple(dict.fromkeys(bill.on for bill in bills))
        yield LotUsed(_item(item), lot_link(item, lot), delivered)


def _item(item: Ref) -> Link:
    return Link(item_name(item), item)


def _weighed(desk: Desk, batch: Batch) -> Iterator[tuple[Link, str]]:
    for item, mass_g in batch.weighed_g.items():
        yield ref_link(item), desk.mass(mass_g)


def _declared(desk: Desk, figures: BatchFigures) -> str:
    label = figures.declared
    return desk.phrase("declared", grams=label.grams, ounces=label.ounces)


def _check(desk: Desk, market: str, check: LotCheck | None) -> NetCheck:
    name, source = desk.phrase(f"markets.{market}"), desk.phrase(f"net_sources.{market}")
    if check is None:
        return NetCheck(name, None, desk.phrase(f"net_outside.{market}"), (), source)
    word = Word(**desk.words.phrases["lot_checks"][check.outcome])
    return NetCheck(name, word, "", tuple(_facts(desk, check)), source)


def _facts(desk: Desk, check: LotCheck) -> Iterator[tuple[str, str]]:
    """Yield what was asked and what was found, requirement by requirement."""

    def said(key: str, **details: object) -> tuple[str, str]:
        return desk.phrase(f"net_facts.{key}"), desk.phrase(f"net_found.{key}", **details)

    mass, words = desk.words.quantity, desk.words.phrases["lot_checks"]
    yield said("weighed", weighed=check.weighed, lot=check.lot_size, needed=check.needed)
    least, shown = check.least_mean_g, words[check.average]["word"].lower()
    mean = mass(check.mean_g, "g")
    if least is None:
        yield said("mean_alone", mean=mean, word=shown)
    else:
        yield said("mean", mean=mean, least=mass(least, "g"), word=shown)
    individual = words[check.individual]["word"].lower()
    yield said("short", short=check.short, limit=mass(check.limit_g, "g"), word=individual)
    if check.bound_g is not None:
        yield said("far", short=check.far_short, bound=mass(check.bound_g, "g"))
