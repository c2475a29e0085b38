"""`plan`."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click

from handbook_builder.cli.colours import coloured
from handbook_builder.cli.completing import ids, item_refs
from handbook_builder.cli.lookup import any_item_named, item_named, vessel_or_product
from handbook_builder.cli.options import (
    Day,
    account_or_exit,
    as_of_option,
    json_option,
    print_json,
    studio_option,
)
from handbook_builder.derived.board import board_of
from handbook_builder.derived.plan.change import change_of
from handbook_builder.derived.plan.ladder import Ask, ladder_plan, loads_of, series_on_file
from handbook_builder.derived.plan.nearest import Worst, in_order, worst_of_oil
from handbook_builder.derived.plan.planned import Planned, lacks_of_ladder, planned, planned_of
from handbook_builder.derived.plan.proof import proof_by
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.plan.changes import ChangeTold, change_told
from handbook_builder.pages.plan.ladders import LadderTold, ladder_told
from handbook_builder.pages.plan.proofs import (
    FirstRow,
    ProofTold,
    by_told,
    first_told,
    proof_told,
)
from handbook_builder.reports.plan import (
    change_report,
    ladder_report,
    plans_report,
    proof_report,
)
from handbook_builder.terminal import echo
from handbook_builder.verdicts.screening import Screening


@dataclass(frozen=True, slots=True)
class PlanCall:
    """What a plan was asked for."""

    name: str | None
    wax: str | None
    oils: Sequence[str]
    series: str | None
    by: date | None
    change: str | None

    def wrong(self) -> str | None:
        """Return what of the call does not go together, or None."""
        of_ladder = bool(self.wax or self.oils or self.series)
        if self.change is not None and (self.name or of_ladder or self.by):
            return "--change stands alone: it is about an item, and about all that holds it."
        if self.name is None and (of_ladder or self.by):
            return "Say of what: the id of a vessel, or of a recipe."
        if of_ladder and self.by:
            return "--by is for the proof of a recipe; a ladder has no day to meet."
        return None


@click.command(short_help="Plan tests: which candles to light, how many, by when.")
@click.argument("name", required=False, shell_complete=ids("recipes", "vessels"))
@click.option("--wax", help="For a ladder in a vessel: the wax.", shell_complete=ids("waxes"))
@click.option("--oil", "oils", multiple=True, shell_complete=ids("fragrances"),
              help="And the oil; several, for an order of proofs.")  # fmt: skip
@click.option("--series", help="And the series of wicks. [default: each on file]")
@click.option("--by", type=Day(), help="Reckon back from this day: pour and order by when.")
@click.option("--change", metavar="ITEM", shell_complete=item_refs(),
              help="What falls if its maker changes this item.")  # fmt: skip
@studio_option
@as_of_option
@json_option
def plan(  # noqa: PLR0913, PLR0917 -- one argument an option
    name: str | None,
    wax: str | None,
    oils: tuple[str, ...],
    series: str | None,
    by: date | None,
    change: str | None,
    studio: Path,
    as_of: date | None,
    *,
    as_json: bool,
) -> None:
    """Plan tests: which candles to light, how many, how long, and by when.

    NAME is a recipe, for what its proof still takes, or a vessel, for a ladder of wicks with --wax.
    Without a name: every proof that waits.
    """
    call = PlanCall(name, wax, oils, series, by, change)
    wrong = call.wrong()
    if wrong is not None:
        raise click.UsageError(wrong)
    account, words = account_or_exit(studio, as_of, as_json=as_json)
    desk = Desk(account, words)
    if call.change is not None:
        report, told = _change(desk, call.change)
    elif call.name is None:
        report, told = _all(desk)
    else:
        report, told = _named(desk, call, call.name)
    if as_json:
        print_json(report)
    else:
        echo("\n".join(told))


Answer = tuple[dict[str, object], Iterator[str]]


def _named(desk: Desk, call: PlanCall, name: str) -> Answer:
    ident, is_vessel = vessel_or_product(desk.account, name)
    if not is_vessel:
        if call.wax or call.oils or call.series:
            msg = f"{ident} is a recipe, which has its wax, oil and wick: --wax is for a vessel."
            raise click.UsageError(msg)
        return _proof(desk, ident, call.by)
    if call.by:
        msg = f"{ident} is a vessel; --by is for the proof of a recipe."
        raise click.UsageError(msg)
    return _ladder(desk, ident, call)


def _all(desk: Desk) -> Answer:
    plans = tuple(planned(desk.account, board_of(desk.account)).values())
    return plans_report(desk.account, plans, desk.words.say), _all_lines(desk, plans)


def _all_lines(desk: Desk, plans: Sequence[Planned]) -> Iterator[str]:
    yield f"{desk.phrase('titles.plan')}, {desk.day}"
    yield desk.phrase("plan.proof.lead" if plans else "plan.proof.none")
    for one in plans:
        yield ""
        yield from _proof_lines(proof_told(desk, one), ())


def _proof(desk: Desk, ident: str, by: date | None) -> Answer:
    board = board_of(desk.account)
    found = planned_of(desk.account, board, ident)
    back = None if by is None else proof_by(desk.account, board, found.plan, by, found.lacks)
    told = () if by is None else by_told(desk, found, back, by)
    report = proof_report(desk.account, found, back, desk.words.say)
    return report, _proof_lines(proof_told(desk, found), told)


def _proof_lines(told: ProofTold, by: Sequence[str]) -> Iterator[str]:
    yield f"{told.link.title} ({coloured(told.word)}): {told.through}"
    cost = () if told.cost is None else (told.cost,)
    yield from (f"  {line}" for line in (*told.takes, *cost, *told.others))
    yield from (f"  {line}" for line in by)


def _ladder(desk: Desk, vessel: str, call: PlanCall) -> Answer:
    account = desk.account
    if call.wax is None:
        known = next(iter(desk.studio.waxes), "ID")
        msg = f"A ladder in {vessel} needs its wax, as in --wax {known}."
        raise click.UsageError(msg)
    wax = item_named(account, "waxes", call.wax)
    oils = tuple(item_named(account, "fragrances", oil) for oil in call.oils)
    _refuse_uncleared(desk, vessel)
    board, ask = board_of(account), Ask(vessel, wax, oils)
    plans = [ladder_plan(account, board, ask, one) for one in _series(desk, call.series)]
    first, proofs = _first(desk, ask), planned(account, board)
    ladders = [ladder_told(desk, proofs, one) for one in plans]
    lacks = [lacks_of_ladder(account, proofs, one) for one in plans]
    return ladder_report(account, plans, lacks, first), _ladder_lines(desk, ladders, first)


def _series(desk: Desk, asked: str | None) -> tuple[str, ...]:
    """Return the series that was asked for, whatever its capitals, or each that is on file."""
    known = series_on_file(desk.studio)
    if asked is None:
        if known:
            return known
        msg = "No wick is on file. Write one first: handbook new wick ID."
        raise click.UsageError(msg)
    found = [one for one in known if one.casefold() == asked.strip().casefold()]
    if not found:
        msg = f"No series of wicks is called {asked!r}. On file: {', '.join(known) or 'none'}."
        raise click.UsageError(msg)
    return tuple(found)


def _refuse_uncleared(desk: Desk, vessel: str) -> None:
    """End the run for a vessel that no flame may be lit in."""
    screened = desk.judged.vessels[vessel]
    if screened.screening is not Screening.CLEARED:
        why = " ".join(desk.words.say(reason) for reason in screened.reasons)
        msg = f"{vessel} is not cleared for heat, and nothing is lit in it. {why}"
        raise click.UsageError(msg)


def _first(desk: Desk, ask: Ask) -> tuple[Worst, ...]:
    """Return the order of proofs of several oils; of one or none there is none."""
    if len(ask.oils) < 2:  # noqa: PLR2004 -- an order needs two
        return ()
    loads = loads_of(desk.studio, ask)
    found = (worst_of_oil(desk.account, oil, ask.wax, loads[oil]) for oil in ask.oils)
    return in_order(found)


def _ladder_lines(
    desk: Desk, ladders: Sequence[LadderTold], first: Sequence[Worst]
) -> Iterator[str]:
    for told in ladders:
        yield told.title
        yield from (f"  {line}" for line in (told.light, *told.grounds))
        for rung in told.rungs:
            mind = "" if rung.mind is None else f" {rung.mind}"
            yield f"  - {rung.link.title}: {rung.stands}; {rung.rate}.{mind}"
        cost = () if told.cost is None else (told.cost,)
        yield from (f"  {line}" for line in (*told.takes, *cost))
        yield from _kin_lines(told)
        yield ""
    yield from _first_lines(first_told(desk, first), desk.phrase("plan.first.lead"))


def _kin_lines(told: LadderTold) -> Iterator[str]:
    for kin in told.kin:
        cells = (kin.wick.title, kin.width, kin.coverage, kin.rate, kin.word.word)
        yield f"    {kin.link.title}: {', '.join(cell for cell in cells if cell is not None)}"


def _first_lines(rows: Sequence[FirstRow], lead: str) -> Iterator[str]:
    if rows:
        yield lead
    for at, row in enumerate(rows, start=1):
        yield f"  {at}. {row.link.title}: {row.told}"


def _change(desk: Desk, asked: str) -> Answer:
    found = change_of(desk.account, any_item_named(desk.account, asked))
    told = change_told(desk, found)
    return change_report(desk.account, found, desk.words.say), _change_lines(desk, told)


def _change_lines(desk: Desk, told: ChangeTold) -> Iterator[str]:
    yield told.title
    yield f"  {told.lead}"
    for row in told.rows:
        then = desk.phrase("plan.change.then", word=row.then.word)
        yield f"  - {row.link.title}: {coloured(row.now)}, {then}"
        yield from (f"    {line}" for line in (*row.becomes, *row.stock))
    if told.kept is not None:
        yield f"  {told.kept}"
    if told.ask:
        yield desk.phrase("plan.change.ask")
        yield from (f"  - {one.text} {one.mend} ({one.where})" for one in told.ask)
    yield from _first_lines(told.first, desk.phrase("plan.change.first"))
    cost = () if told.cost is None else (told.cost,)
    yield from (f"  {line}" for line in (*told.takes, *cost))
