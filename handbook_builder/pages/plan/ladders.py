"""Ladders in words: which sizes to light, what that rests on, and what it takes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handbook_builder.derived.board import Board
from handbook_builder.derived.diagnoses import full_share
from handbook_builder.derived.plan.kin import LIKE, Kin, Rate
from handbook_builder.derived.plan.ladder import Ask, LadderPlan, Rung, ladder_plan, series_on_file
from handbook_builder.derived.plan.needs import Need
from handbook_builder.derived.plan.planned import Planned, lacks_of_ladder
from handbook_builder.figures.ladder import FEWEST_KIN, Doubt, Ground
from handbook_builder.pages.board.reckoned import about_h, several
from handbook_builder.pages.desk import Desk, Link, item_link, name_of
from handbook_builder.pages.plan.told import (
    calendar_told,
    cost_told,
    lacks_told,
    needs_told,
    several_things,
)
from handbook_builder.reading.kinds.house import ONCE
from handbook_builder.reading.kinds.readings import READ_AS
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class RungRow:
    """One size to light: how it stands, how fast it should burn, and what to mind."""

    link: Link
    stands: str
    rate: str
    mind: str | None


@dataclass(frozen=True, slots=True)
class KinRow:
    """One candle that the ladder rests on."""

    link: Link
    wick: Link
    width: str
    coverage: str | None
    rate: str | None
    word: Word


@dataclass(frozen=True, slots=True)
class LadderTold:
    """The ladder of a series in a vessel with a wax.

    Lower `rank` is better founded: on burns, on what wicks state, on nothing. `why` is that in
    short.
    """

    id: str
    rank: int
    vessel: Link
    wax: Link
    series: str
    title: str
    light: str
    wicks: tuple[Link, ...]
    why: str
    grounds: tuple[str, ...]
    rungs: tuple[RungRow, ...]
    kin: tuple[KinRow, ...]
    takes: tuple[str, ...]
    cost: str | None

    @property
    def is_founded(self) -> bool:
        """Return whether it rests on the studio's own burns."""
        return self.rank == 0


def ladders_told(
    desk: Desk, board: Board, plans: Mapping[str, Planned], ask: Ask
) -> Iterator[LadderTold]:
    """Yield the ladder of each series that is on file, beside the proofs that are planned."""
    for series in series_on_file(desk.studio):
        yield ladder_told(desk, plans, ladder_plan(desk.account, board, ask, series))


def ladder_told(desk: Desk, plans: Mapping[str, Planned], plan: LadderPlan) -> LadderTold:
    """Return a ladder in words, and what the store lacks for it once those proofs took theirs."""
    ask = plan.ask
    vessel, wax = item_link("vessels", ask.vessel), item_link("waxes", ask.wax)
    wicks = several_things(desk, (name_of(rung.wick) for rung in plan.rungs))
    return LadderTold(
        id=f"{ask.vessel}-{ask.wax}-{plan.series}".replace(" ", "-"),
        rank=list(Ground).index(plan.ladder.ground),
        vessel=vessel,
        wax=wax,
        series=plan.series,
        title=_title(desk, plan),
        light=several(desk, "plan.ladder.light", len(plan.rungs), wicks=wicks),
        wicks=tuple(item_link("wicks", rung.wick) for rung in plan.rungs),
        why=desk.phrase(f"plan.ladder.stands.{plan.ladder.ground}"),
        grounds=tuple(_grounds(desk, plan)),
        rungs=tuple(_rung(desk, plan, rung) for rung in plan.rungs),
        kin=tuple(_kin(desk, one) for one in plan.kin),
        takes=tuple(_takes(desk, plan, lacks_of_ladder(desk.account, plans, plan))),
        cost=cost_told(desk, plan.needs, len(plan.rungs) * plan.cycles),
    )


def _title(desk: Desk, plan: LadderPlan) -> str:
    vessel, wax = name_of(plan.ask.vessel), name_of(plan.ask.wax)
    details = {"vessel": vessel, "wax": wax, "series": plan.series}
    oils = tuple(plan.weights.fragrance_g)
    if not oils:
        return desk.phrase("plan.ladder.title_plain", **details)
    load = desk.words.percent(round(plan.load_on_wax, 4))
    return desk.phrase("plan.ladder.title", oil=name_of(oils[0]), load=load, **details)


def _grounds(desk: Desk, plan: LadderPlan) -> Iterator[str]:
    found, vessel = plan.ladder, desk.studio.vessels[plan.ask.vessel]
    width = desk.words.quantity(vessel.inside_diameter_mm, "mm")
    yield desk.phrase(
        "plan.ladder.kin",
        candles=several(desk, "plan.candles", found.kin),
        like=desk.words.percent(LIKE),
        width=width,
        wax=name_of(plan.ask.wax),
    )
    if found.doubt is not None:
        yield desk.phrase(f"plan.ladder.doubts.{found.doubt}", fewest=FEWEST_KIN)
    if found.reach is not None and found.doubt is not Doubt.BEYOND:
        full = desk.words.percent(full_share(desk.studio.protocol))
        open_ones = _open(desk, plan) if found.ground is Ground.BURNS else ""
        yield desk.phrase(
            "plan.ladder.line",
            low_mm=f"{found.reach.widens_mm.low:.1f}",
            high_mm=f"{found.reach.widens_mm.high:.1f}",
            scatter_low=f"{found.reach.scatter_mm.low:.1f}",
            scatter_high=f"{found.reach.scatter_mm.high:.1f}",
        )
        if open_ones:
            yield desk.phrase("plan.ladder.open", wicks=open_ones, full=full)
    if found.ground is not Ground.BURNS:
        yield desk.phrase(f"plan.ladder.grounds.{found.ground}", width=width)


def _open(desk: Desk, plan: LadderPlan) -> str:
    likely = (name_of(rung.wick) for rung in plan.rungs if rung.step in plan.ladder.likely)
    return several_things(desk, likely)


def _rung(desk: Desk, plan: LadderPlan, rung: Rung) -> RungRow:
    stands = plan.ladder.ground.value if rung.step in plan.ladder.likely else "beside"
    if plan.ladder.ground is not Ground.BURNS:
        stands = plan.ladder.ground.value
    mind = None
    if rung.failed:
        candles = several_things(desk, (desk.test(ident).title for ident in rung.failed))
        mind = several(desk, "plan.ladder.failed", len(rung.failed), candles=candles)
    return RungRow(
        link=item_link("wicks", rung.wick),
        stands=desk.phrase(f"plan.ladder.stands.{stands}"),
        rate=_rate(desk, rung.rate),
        mind=mind,
    )


def _rate(desk: Desk, rate: Rate | None) -> str:
    if rate is None:
        return desk.phrase("plan.ladder.no_rate")
    mean = f"{rate.mean_g_per_h:.1f}"
    if rate.interval is None:
        return desk.phrase("plan.ladder.rate_near", mean=mean)
    low, high = (f"{max(0.0, one):.1f}" for one in (rate.interval.low, rate.interval.high))
    return desk.phrase("plan.ladder.rate", mean=mean, low=low, high=high)


def _kin(desk: Desk, one: Kin) -> KinRow:
    candle, trial = one.burned.candle, one.trial
    share = trial.coverage
    rate = trial.rate_g_per_h
    return KinRow(
        link=desk.test(candle.id),
        wick=item_link("wicks", candle.seen.burn.made.wick),
        width=desk.terse.quantity(one.width_mm, "mm"),
        coverage=None if share is None else desk.words.percent(round(share, 2)),
        rate=None if rate is None else desk.phrase("rate", rate=f"{rate:.1f}"),
        word=desk.words.verdict(candle.verdict),
    )


def _takes(desk: Desk, plan: LadderPlan, lacks: tuple[Need, ...]) -> Iterator[str]:
    protocol = desk.studio.protocol
    asked = (READ_AS.get(limit.measure, limit.measure) for limit in protocol.limits
             if limit.on_breach == "fail")  # fmt: skip
    readings = dict.fromkeys((*(need for need in protocol.needs if need not in ONCE), *asked))
    yield desk.phrase(
        "plan.ladder.burn",
        candles=several(desk, "plan.candles", len(plan.rungs)),
        cycles=several(desk, "board.cycles", plan.cycles),
        cycle_h=desk.words.quantity(protocol.cycle_h, "h"),
        hours=about_h(desk, plan.burning_h),
    )
    named = (desk.words.reading(need).lower() for need in readings)
    yield desk.phrase("plan.ladder.read", readings=several_things(desk, named))
    yield desk.phrase("plan.ladder.written", rungs=len(plan.rungs))
    if plan.calendar is not None:
        yield from calendar_told(desk, plan.calendar)
    needs = needs_told(desk, plan.needs)
    if needs is not None:
        yield needs
        yield lacks_told(desk, lacks)
