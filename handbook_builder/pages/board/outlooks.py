"""When each product could be approved at the earliest, and what a helper could do today."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.board import Board, Outlook
from handbook_builder.derived.hands import must_read_first
from handbook_builder.pages.board.reckoned import about_h, life_told, several
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.plan.told import several_things
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class OutlookRow:
    """A product that is not approved: its status, the earliest day in words, and how come."""

    link: Link
    word: Word
    earliest: str
    how: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Helping:
    """Who may burn and who may pour, by name, and what there is to do."""

    title: str
    burning: str
    burners: str
    burn: str
    pouring: str
    pourers: str
    pour: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Outlooks:
    """The products that wait for test candles alone, by day, and those that lack anything else."""

    title: str
    lead: str
    rows: tuple[OutlookRow, ...]
    undated_title: str
    undated_lead: str
    undated: tuple[OutlookRow, ...]


def outlooks(desk: Desk, board: Board) -> Outlooks:
    """Return every product that waits for approval; those with a day first, by that day."""

    def by_day(one: Outlook) -> tuple[bool, date, str]:
        return (one.approved_on is None, one.approved_on or board.day, one.product.recipe.title)

    found = [
        (bool(outlook.others), _row(desk, board, outlook))
        for outlook in sorted(board.outlooks, key=by_day)
    ]
    return Outlooks(
        title=desk.phrase("outlook.title"),
        lead=_lead(desk),
        rows=tuple(row for lacks, row in found if not lacks),
        undated_title=desk.phrase("outlook.undated_title"),
        undated_lead=desk.phrase("outlook.undated_lead"),
        undated=tuple(row for lacks, row in found if lacks),
    )


def _lead(desk: Desk) -> str:
    """Return what every day here goes by: that all passes, and how many may burn at once."""
    places = desk.studio.info.places
    if places is None:
        return desk.phrase("outlook.lead")
    return several(desk, "outlook.lead_places", places)


def _row(desk: Desk, board: Board, one: Outlook) -> OutlookRow:
    return OutlookRow(
        link=desk.product(one.product.recipe),
        word=desk.words.status(one.product.status),
        earliest=_earliest(desk, one),
        how=tuple(_how(desk, board, one)),
    )


def _earliest(desk: Desk, one: Outlook) -> str:
    if one.approved_on is not None:
        return desk.words.day(one.approved_on)
    return desk.phrase("outlook.no_date" if one.others else "outlook.unknown")


def _how(desk: Desk, board: Board, one: Outlook) -> Iterator[str]:
    yield from (desk.words.say(reason) for reason in one.others)
    if one.others and one.through_on is not None:
        yield desk.phrase("outlook.tests_by", on=one.through_on)
    if one.not_before is None:
        return
    yield desk.phrase("outlook.through", short=one.short)
    if one.counted:
        yield _counted(desk, one)
    if one.to_pour:
        yield several(desk, "outlook.pour", one.to_pour, on=one.cured_on)
    if one.pourings > 1:
        yield desk.phrase("plan.proof.pourings", days=one.pourings)
    if one.through_on is None:
        unknown = "no_life" if one.life is None else "no_day"
        yield desk.phrase(f"outlook.{unknown}", on=one.not_before)
    elif one.life is not None:
        yield _reckoned(desk, board, one)
        yield from _assumed(desk, one)


def _counted(desk: Desk, one: Outlook) -> str:
    letters = ", ".join(desk.studio.burns[ident].candle for ident in one.counted)
    return several(desk, "outlook.counted", len(one.counted), candles=letters)


def _reckoned(desk: Desk, board: Board, one: Outlook) -> str:
    if one.life is None:
        msg = "a day that was reckoned from no life"
        raise ValueError(msg)
    return desk.phrase(
        "outlook.reckoned",
        life_h=about_h(desk, one.life.hours_h),
        life=life_told(desk, one.life),
        cycle_h=desk.words.quantity(desk.studio.protocol.cycle_h, "h"),
        per_day=board.per_day,
    )


def _assumed(desk: Desk, one: Outlook) -> Iterator[str]:
    """Yield that of some candles, whose places this one waits for, nobody knows the life."""
    names = () if one.calendar is None else one.calendar.assumed
    if names and one.to_pour and desk.studio.info.places is not None:
        candles = several_things(desk, (desk.test(ident).title for ident in names))
        yield several(desk, "plan.assumed", len(names), candles=candles)


def helping(desk: Desk, board: Board) -> Helping:
    """Return what there is to do today, and who may do it."""
    ready = sum(candle.may_be_lit for candle in board.waiting)
    pour = tuple(
        desk.phrase("helpers.pour", count=outlook.to_pour, product=outlook.product.recipe.title)
        for outlook in board.outlooks
        if outlook.to_pour and not outlook.others
    )
    return Helping(
        title=desk.phrase("helpers.title"),
        burning=desk.phrase("helpers.who_burns"),
        burners=_names(desk, board.may_burn, "burn"),
        burn=_to_burn(desk, ready),
        pouring=desk.phrase("helpers.who_pours"),
        pourers=_names(desk, board.may_pour, "pour"),
        pour=pour or (desk.phrase("helpers.pour_none"),),
    )


def _to_burn(desk: Desk, ready: int) -> str:
    return several(desk, "helpers.burn", ready) if ready else desk.phrase("helpers.burn_none")


def _names(desk: Desk, idents: tuple[str, ...], what: str) -> str:
    """Return who may do a work; whoever must read a guide before is marked."""
    late = must_read_first(desk.studio, desk.day, desk.account.guides, what)
    names = (
        desk.phrase("helpers.reads_first", name=name_of(ident)) if ident in late else name_of(ident)
        for ident in idents
    )
    return ", ".join(names) or desk.phrase("helpers.nobody")
