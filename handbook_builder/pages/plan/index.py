"""The page of plans: what is still to be proven, in which order, and the ladders before that."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handbook_builder.derived.board import Board, board_of
from handbook_builder.derived.plan.ladder import without_proof
from handbook_builder.derived.plan.nearest import in_order, worst_of
from handbook_builder.derived.plan.planned import Planned, planned
from handbook_builder.figures.ladder import FEWEST_KIN
from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.plan.ladders import LadderTold, ladders_told
from handbook_builder.pages.plan.proofs import (
    FirstRow,
    ProofTold,
    first_told,
    proof_told,
)
from handbook_builder.verdicts.more_tests import more_tests

PATH = "plan/index"


@dataclass(frozen=True, slots=True)
class Queue:
    """The proofs that wait in one vessel, in the order in which they are best burned."""

    vessel: Link
    rows: tuple[FirstRow, ...]


@dataclass(frozen=True, slots=True)
class PlanPage:
    """What the page of plans shows."""

    lead: str
    plans: tuple[ProofTold, ...]
    plans_lead: str
    no_plans: str
    has_cost: bool
    queues: tuple[Queue, ...]
    queues_lead: str
    ladders: tuple[LadderTold, ...]
    ladders_lead: str
    no_ladders: str
    unfounded: tuple[LadderTold, ...]
    unfounded_lead: str
    change: str
    own_tests: str


def plan_page(desk: Desk) -> Page:
    """Return the page of plans."""
    board = board_of(desk.account)
    plans = planned(desk.account, board)
    ladders = tuple(_ladders(desk, board, plans))
    content = PlanPage(
        lead=desk.phrase("leads.plan"),
        plans=tuple(proof_told(desk, one) for one in plans.values()),
        plans_lead=desk.phrase("plan.proof.lead"),
        no_plans=desk.phrase("plan.proof.none"),
        has_cost=desk.money is not None,
        queues=tuple(queues(desk)),
        queues_lead=desk.phrase("plan.first.lead"),
        ladders=tuple(one for one in ladders if one.is_founded),
        unfounded=tuple(one for one in ladders if not one.is_founded),
        unfounded_lead=desk.phrase("plan.ladder.unfounded", fewest=FEWEST_KIN),
        ladders_lead=desk.phrase("plan.ladder.lead"),
        no_ladders=desk.phrase("plan.ladder.none"),
        change=desk.phrase("plan.change.how"),
        own_tests=desk.phrase("own_tests"),
    )
    return Page(PATH, desk.phrase("titles.plan"), "plan", content, 1.0)


def queues(desk: Desk) -> Iterator[Queue]:
    """Yield each vessel in which several proofs wait, with the order in which to burn them."""
    needed = desk.studio.protocol.test_candles
    waiting: dict[str, list[str]] = {}
    for ident, product in sorted(desk.judged.products.items()):
        more = more_tests(product, needed)
        if more.candles or more.sense.value == "burning":
            waiting.setdefault(product.recipe.vessel, []).append(ident)
    for vessel, idents in waiting.items():
        if len(idents) > 1:
            worst = [worst_of(desk.account, desk.judged.products[ident]) for ident in idents]
            yield Queue(item_link("vessels", vessel), first_told(desk, in_order(worst)))


def _ladders(desk: Desk, board: Board, plans: Mapping[str, Planned]) -> Iterator[LadderTold]:
    """Yield the ladders of vessels without proof, those first that rest on the studio's burns."""
    found = [
        one for ask in without_proof(desk.account) for one in ladders_told(desk, board, plans, ask)
    ]
    yield from sorted(found, key=lambda one: (one.rank, one.title))
