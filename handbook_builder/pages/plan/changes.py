"""A change that is coming, in words: what falls, what becomes of it, and what to do first."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.plan.change import Change, Stock, Touched
from handbook_builder.pages.board.reckoned import about_h, several
from handbook_builder.pages.desk import Desk, Link, Said, name_of
from handbook_builder.pages.plan.proofs import FirstRow, first_told
from handbook_builder.pages.plan.told import cost_told, needs_told, several_things
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class TouchedRow:
    """One product that holds the item: how it stands, and would stand."""

    link: Link
    now: Word
    then: Word
    falls: bool
    becomes: tuple[str, ...]
    stock: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChangeTold:
    """What a change brings down, what to ask for, and what to burn first."""

    title: str
    lead: str
    rows: tuple[TouchedRow, ...]
    kept: str | None
    ask: tuple[Said, ...]
    first: tuple[FirstRow, ...]
    takes: tuple[str, ...]
    cost: str | None


def change_told(desk: Desk, change: Change) -> ChangeTold:
    """Return a change in words."""
    falls = sum(one.falls for one in change.touched)
    return ChangeTold(
        title=desk.phrase("plan.change.title", item=name_of(change.item.id), spec=change.spec),
        lead=several(desk, "plan.change.falls", falls, touched=len(change.touched), on=change.on),
        rows=tuple(_row(desk, one) for one in change.touched),
        kept=desk.phrase("plan.change.kept") if any(one.stock for one in change.touched) else None,
        ask=tuple(desk.said(reason) for reason in (*change.ask, *change.vessel)),
        first=first_told(desk, change.first),
        takes=tuple(_takes(desk, change)),
        cost=cost_told(desk, change.needs, _lit(change)) if change.proofs else None,
    )


def _row(desk: Desk, one: Touched) -> TouchedRow:
    return TouchedRow(
        link=desk.product(one.product.recipe),
        now=desk.words.status(one.product.status),
        then=desk.words.status(one.after),
        falls=one.falls,
        becomes=tuple(_becomes(desk, one)),
        stock=tuple(_stock(desk, batch) for batch in one.stock),
    )


def _becomes(desk: Desk, one: Touched) -> Iterator[str]:
    if one.lost:
        yield several(desk, "plan.change.lost", one.lost)
    yield from (desk.words.say(reason) for reason in one.new)
    if one.twin_of is not None and one.again:
        twin = desk.studio.recipes[one.twin_of].title
        yield desk.phrase("plan.change.twin", twin=twin)
    elif one.again and one.burning_h is not None:
        proof = about_h(desk, one.burning_h)
        yield several(desk, "plan.change.again", one.again, hours=proof)
    elif one.again:
        yield several(desk, "plan.change.again_unknown", one.again)


def _stock(desk: Desk, one: Stock) -> str:
    return desk.phrase(
        "plan.change.stock", batch=one.batch, made=one.made, out=one.out, at_hand=one.at_hand
    )


def _lit(change: Change) -> int | None:
    known = [one.lit for one in change.proofs if one.lit is not None]
    return sum(known) if known else None


def _takes(desk: Desk, change: Change) -> Iterator[str]:
    if not change.proofs:
        yield desk.phrase("plan.change.no_proofs")
        return
    candles = several(desk, "plan.candles", sum(one.again for one in change.proofs))
    proofs = several(desk, "plan.change.proofs", len(change.proofs))
    if change.burning_h is not None:
        burning = about_h(desk, change.burning_h)
        yield desk.phrase("plan.change.takes", proofs=proofs, candles=candles, hours=burning)
    unknown = [desk.product(one.product.recipe).title for one in change.proofs
               if one.burning_h is None]  # fmt: skip
    if unknown:
        yield desk.phrase("plan.change.unknown", products=several_things(desk, unknown))
    needs = needs_told(desk, change.needs)
    if needs is not None:
        yield needs
