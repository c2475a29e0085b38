"""A helper's own page: what they may do, what to read, and what waits for them today."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.derived.board import Board, board_of
from handbook_builder.derived.hands import must_read_first
from handbook_builder.derived.waiting import Waiting
from handbook_builder.pages.bench.page import bench_link
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.board.reckoned import several
from handbook_builder.pages.desk import Desk, Link, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.people.helpers import HasRead, ToRead, has_read, to_read
from handbook_builder.pages.products.approved import approved_products
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.pages.trade.parts import IncidentLine, incident_line
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.incidents import is_open


@dataclass(frozen=True, slots=True)
class Task:
    """One thing that waits: where it is told, and what is said of it."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class Work:
    """What a helper may do of one sort: `first` says why they may not begin yet, or is empty.

    `none` is said when nothing waits.
    """

    title: str
    lead: str
    first: str
    tasks: tuple[Task, ...]
    none: str


@dataclass(frozen=True, slots=True)
class HelperPage:
    """What a helper's own page shows."""

    name: str
    may: str
    to_read: tuple[ToRead, ...]
    nothing_to_read: str
    works: tuple[Work, ...]
    incidents: tuple[IncidentLine, ...]
    read: tuple[HasRead, ...]
    own_tests: str
    more: Beside | None


def path_of(ident: str) -> str:
    """Return the path of a helper's own page."""
    return f"helpers/{ident}"


def helper_pages(desk: Desk) -> Iterator[Page]:
    """Yield the page of each helper."""
    board = board_of(desk.account)
    for ident in sorted(desk.studio.helpers):
        title = desk.phrase("titles.helper", name=name_of(ident))
        yield Page(path_of(ident), title, "helper", _content(desk, board, ident), 0.6)


def _content(desk: Desk, board: Board, ident: str) -> HelperPage:
    helper = desk.studio.helpers[ident]
    return HelperPage(
        name=name_of(ident),
        may=_may(desk, helper.may),
        to_read=tuple(due for due in to_read(desk) if due.helper == name_of(ident)),
        nothing_to_read=desk.phrase("helper.nothing_to_read"),
        works=tuple(_works(desk, board, ident)),
        incidents=_incidents(desk) if "sign" in helper.may else (),
        read=has_read(desk, helper),
        own_tests=desk.phrase("own_tests"),
        more=beside_of(desk, helper.source),
    )


def _works(desk: Desk, board: Board, ident: str) -> Iterator[Work]:
    """Yield what waits for a helper, of each sort of work that they may do."""
    for what in ("burn", "pour"):
        if what in desk.studio.helpers[ident].may:
            yield _work(desk, board, ident, what)


def _may(desk: Desk, may: tuple[str, ...]) -> str:
    """Return what a helper may do, in one sentence."""
    works = [desk.phrase(f"helper.works.{what}") for what in may]
    return desk.phrase("helper.may" if works else "helper.may_nothing", works=", ".join(works))


def _work(desk: Desk, board: Board, ident: str, what: str) -> Work:
    late = must_read_first(desk.studio, desk.day, desk.account.guides, what)
    tasks = _to_burn(desk, board) if what == "burn" else _to_pour(desk, board)
    return Work(
        title=desk.phrase(f"helper.{what}.title"),
        lead=desk.phrase(f"helper.{what}.lead"),
        first=desk.phrase("helper.reads_first") if ident in late else "",
        tasks=tuple(tasks),
        none=_none_to_burn(desk, board) if what == "burn" else desk.phrase("helper.pour.none"),
    )


def _to_burn(desk: Desk, board: Board) -> Iterator[Task]:
    """Yield every candle that may be lit today, and where its readings are taken.

    The one that has waited longest comes first.
    """
    lit = [candle for candle in board.waiting if candle.may_be_lit]
    for candle in sorted(lit, key=lambda each: (-(each.waited_days or 0), each.id)):
        bench = bench_link(desk, candle.id) or desk.test(candle.id)
        yield Task(Link(desk.test(candle.id).title, bench.path), _cycle_due(desk, candle))


def _cycle_due(desk: Desk, candle: Waiting) -> str:
    """Return which cycle is due, and from what time on, where that is known."""
    number = len(candle.burned.candle.seen.cycles) + 1
    said = desk.phrase("helper.burn.first_light" if number == 1 else "helper.burn.cycle",
                       number=number)  # fmt: skip
    at = candle.next_lit.at
    if at is None or candle.next_lit.day != desk.day:
        return said
    return desk.phrase("helper.burn.from", said=said, at=f"{at:%H:%M}")


def _none_to_burn(desk: Desk, board: Board) -> str:
    """Return that nothing may be lit today, and when the next one may."""
    days = [candle.next_lit.day for candle in board.waiting if not candle.forbidden]
    if not days:
        return desk.phrase("helper.burn.none")
    return desk.phrase("helper.burn.next", on=desk.words.day(min(days)))


def _to_pour(desk: Desk, board: Board) -> Iterator[Task]:
    """Yield the test candles that are still to be poured, then what may be poured for people."""
    for outlook in board.outlooks:
        if outlook.to_pour and not outlook.others:
            said = several(desk, "helper.pour.test", outlook.to_pour)
            yield _pour_task(outlook.product, said)
    for product in approved_products(desk):
        if not provisos_of(desk, product).forbids:
            limits = provisos_of(desk, product).sentences
            said = desk.phrase("helper.pour.approved")
            yield _pour_task(product, ". ".join((said, *limits)) if limits else said)


def _pour_task(product: Product, sentence: str) -> Task:
    """Return the task of pouring a product, which leads to its pour sheet."""
    return Task(Link(product.recipe.title, f"pour/{product.recipe.source.id}"), sentence)


def _incidents(desk: Desk) -> tuple[IncidentLine, ...]:
    """Return the open incidents, which whoever signs may close."""
    found = [incident for incident in desk.studio.incidents.values() if is_open(incident, desk.day)]
    return tuple(
        incident_line(desk, incident) for incident in sorted(found, key=lambda each: each.number)
    )
