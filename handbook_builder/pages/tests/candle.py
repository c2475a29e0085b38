"""One page a test candle: what it was, how each cycle went, and what it came to."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from handbook_builder.derived.burns import BurnFigures, CycleFigures
from handbook_builder.derived.waiting import goes_on
from handbook_builder.figures.pool import rule_of_thumb_h
from handbook_builder.once import once
from handbook_builder.pages.around import beside_test, stands_of_test
from handbook_builder.pages.bench.page import bench_link
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Link, Said, item_link
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import burn_sheet_of
from handbook_builder.pages.tests.amended import amended_told
from handbook_builder.pages.tests.charts import Chart, charts_of_candle
from handbook_builder.pages.tests.columns import Column, cells, columns, marks
from handbook_builder.pages.tests.diagnosis import Diagnosis, diagnosis_of_test
from handbook_builder.pages.tests.glance import BurnPicture, picture_of
from handbook_builder.pages.tests.lines import lacks, spoken_against
from handbook_builder.pages.tests.notes import CandleNotes, notes_on
from handbook_builder.pages.tests.pictures import Strip, strip_of_candle
from handbook_builder.pages.tests.sisters import Sister, neighbour, sisters_of
from handbook_builder.reading.kinds.making import End, Recipe
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.verdicts.judge import Judged
from handbook_builder.verdicts.reason import Reason
from handbook_builder.verdicts.seen import Numbered
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Used:
    """One thing that went into the candle: `amount` is a mass, a count, or nothing to say."""

    kind: str
    link: Link
    amount: str
    spec: int


@dataclass(frozen=True, slots=True)
class CycleRow:
    """One cycle as a row of the table: `cells` stand under the page's `columns`.

    `marks` say of each cell whether a limit was passed ("broke") or is watched.
    """

    number: int
    word: Word
    on: str
    cells: tuple[str | None, ...]
    marks: tuple[str, ...]
    failures: tuple[Said, ...]
    gaps: tuple[Said, ...]
    watches: tuple[Said, ...]
    notes: tuple[Said, ...]
    note: str | None
    amended: str | None

    @property
    def is_remarkable(self) -> bool:
        """Return whether anything is to be told beside the readings."""
        found = self.failures or self.gaps or self.watches or self.notes
        return bool(found or self.note or self.amended)


@dataclass(frozen=True, slots=True)
class Ending:
    """How the candle ended, in words; None was not written down."""

    how: str
    why: str | None
    left: str | None
    vessel: str | None
    tilt: str | None
    amended: str | None


@dataclass(frozen=True, slots=True)
class Figures:
    """What the candle comes to so far."""

    hours: str
    consumed: str
    rate: str | None
    to_wall: tuple[str, ...]
    rule_of_thumb: str


@dataclass(frozen=True, slots=True)
class CandlePage:
    """What the page of a test candle shows."""

    id: str
    candle: str
    product: Link
    word: Word
    code: str
    counts_for: tuple[Link, ...]
    beside: CandleNotes
    reasons: tuple[str, ...]
    poured: date
    together: int
    scale: str
    room: str | None
    used: tuple[Used, ...]
    net: str
    cycles: tuple[CycleRow, ...]
    columns: tuple[Column, ...]
    mark_words: Mapping[str, str]
    ending: Ending | None
    other_gaps: tuple[Said, ...]
    figures: Figures
    diagnosis: Diagnosis | None
    glance: BurnPicture | None
    charts: tuple[Chart, ...]
    pictures: Strip | None
    uncertainty: str
    sisters: tuple[Sister, ...]
    offers: tuple[Link, ...]
    sheet: Link | None
    bench: Link | None
    previous: Link | None
    next: Link | None
    notes: str
    more: Beside | None
    own_tests: str


def page_of_test(desk: Desk, ident: str, offers: tuple[Link, ...] = ()) -> Page:
    """Return the page of one test candle; `offers` are the comparisons that it leads to."""
    burned = desk.judged.burns[ident]
    link = desk.test(ident)
    return Page(
        path=link.path,
        title=link.title,
        view="test",
        content=_content(desk, burned, offers),
        boost=1.0,
        words=(ident,),
        stands=stands_of_test(desk, burned.candle),
        beside=beside_test(desk, burned.candle),
    )


def _content(desk: Desk, burned: Burned, offers: tuple[Link, ...]) -> CandlePage:
    candle, seen = burned.candle, burned.candle.seen
    burn, ident = seen.burn, burned.candle.id
    sisters, beside = sisters_of(desk, burned), notes_on(desk, candle)
    return CandlePage(
        id=ident,
        candle=burn.candle,
        product=desk.product(desk.studio.recipes[burn.recipe]),
        word=desk.words.verdict(candle.verdict),
        code=desk.account.burn_codes[ident],
        counts_for=_counts_for(desk, ident),
        beside=beside,
        reasons=_reasons(desk, candle, beside),
        poured=burn.made.on,
        together=burn.made.candles,
        scale=desk.terse.quantity(burn.scale_g, "g"),
        room=desk.maybe(burn.room_c, "c"),
        used=_used(desk, burned),
        net=desk.mass(burned.combination.net_g),
        cycles=_rows(desk, burned),
        columns=columns(desk),
        mark_words=desk.words.phrases["pages"]["glance"]["in_table"],
        ending=None if seen.end is None else _ending(desk, seen.end),
        other_gaps=_other_gaps(desk, candle),
        figures=_figures(desk, burned),
        diagnosis=diagnosis_of_test(desk, burned),
        glance=picture_of(desk, burned),
        charts=charts_of_candle(desk, burned),
        pictures=strip_of_candle(desk, candle),
        uncertainty=desk.phrase("uncertainty_note"),
        sisters=sisters,
        offers=offers,
        sheet=burn_sheet_of(desk, ident) if goes_on(burned) else None,
        bench=bench_link(desk, ident),
        previous=neighbour(desk, sisters, -1),
        next=neighbour(desk, sisters, 1),
        notes=burn.source.body,
        more=beside_of(desk, burn.source),
        own_tests=desk.phrase("own_tests"),
    )


def _other_gaps(desk: Desk, candle: CandleVerdict) -> tuple[Said, ...]:
    """Return what is said of the candle beyond its cycles."""
    in_cycles = [reason for cycle in candle.cycles for reason in (*cycle.failures, *cycle.gaps)]
    others = (*candle.failures, *lacks(candle))
    return tuple(desk.said(other) for other in others if other not in in_cycles)


def _reasons(desk: Desk, candle: CandleVerdict, beside: CandleNotes) -> tuple[str, ...]:
    """Return why a candle is no pass, but for what stands beside its verdict anyway."""
    told = {beside.misuse, beside.ladder}
    return tuple(said for said in spoken_against(desk, candle) if said not in told)


def _counts_for(desk: Desk, ident: str) -> tuple[Link, ...]:
    """Return every product that the candle is evidence for, one way or the other."""
    return tuple(map(desk.product, _counted_by(desk.judged).get(ident, ())))


@once
def _counted_by(judged: Judged) -> Mapping[str, tuple[Recipe, ...]]:
    """Return the recipes that each test candle is evidence for, one way or the other."""
    found: dict[str, list[Recipe]] = defaultdict(list)
    for product in judged.products.values():
        said = product.evidence
        for ident in {one.id for one in (*said.passed, *said.failed, *said.burning,
                                         *said.incomplete)}:  # fmt: skip
            found[ident].append(product.recipe)
    return {ident: tuple(recipes) for ident, recipes in found.items()}


def _used(desk: Desk, burned: Burned) -> tuple[Used, ...]:
    made, same = burned.candle.seen.burn.made, burned.combination.identities
    spec = {
        (folder, named_item.id): named_item.spec
        for folder, named in (
            ("waxes", same.waxes), ("fragrances", same.fragrances), ("colorants", same.colorants)
        )
        for named_item in named
    }  # fmt: skip
    weighed = [
        Used(folder, item_link(folder, one), desk.words.quantity(mass, "g"), spec[folder, one])
        for folder, masses in (
            ("waxes", made.wax), ("fragrances", made.fragrance), ("colorants", made.colorant)
        )
        for one, mass in masses.items()
    ]  # fmt: skip
    return (
        Used("vessels", item_link("vessels", made.vessel), "1", same.vessel.spec),
        *weighed,
        Used("wicks", item_link("wicks", made.wick), str(made.wicks), same.wick.spec),
    )


def _rows(desk: Desk, burned: Burned) -> tuple[CycleRow, ...]:
    candle = burned.candle
    figures = desk.account.burns[candle.id].cycles
    return tuple(
        _row(desk, seen, verdict, figure)
        for seen, verdict, figure in zip(candle.seen.cycles, candle.cycles, figures, strict=True)
    )


def _row(desk: Desk, seen: Numbered, verdict: CycleVerdict, figure: CycleFigures) -> CycleRow:
    return CycleRow(
        number=verdict.number,
        word=desk.words.verdict(verdict.verdict),
        on=_lit(seen.cycle),
        cells=cells(desk, seen.cycle, figure),
        marks=marks(verdict),
        failures=tuple(desk.said(reason) for reason in verdict.failures),
        gaps=tuple(desk.said(gap) for gap in verdict.gaps),
        watches=tuple(desk.said(watch) for watch in _further(verdict)),
        notes=tuple(desk.said(note) for note in verdict.notes),
        note=seen.cycle.note,
        amended=amended_told(desk, seen.cycle),
    )


def _further(verdict: CycleVerdict) -> Iterator[Reason]:
    """Yield what is watched, without a reading that failed: it is told once."""
    failed = {reason.code for reason in verdict.failures} - {"seen"}
    yield from (watch for watch in verdict.watches if watch.code not in failed)


def _lit(cycle: Cycle) -> str:
    day = cycle.on.day.isoformat()
    return day if cycle.on.at is None else f"{day} {cycle.on.at:%H:%M}"


def _ending(desk: Desk, end: End) -> Ending:
    def called(word: str | None) -> str | None:
        return None if word is None else desk.words.seen(word)

    left = desk.maybe(end.left_g, "g")
    return Ending(
        desk.words.seen(end.how),
        end.why,
        left,
        called(end.vessel),
        called(end.tilt),
        amended_told(desk, end),
    )


def _reached(desk: Desk, burned: Burned, figures: BurnFigures) -> Iterator[str]:
    """Yield when the pool reached the wall, for each cycle that was looked at on its way."""
    for seen, figure in zip(burned.candle.seen.cycles, figures.cycles, strict=True):
        if seen.cycle.checks and figure.hours_to_wall is not None:
            hours = desk.words.quantity(figure.hours_to_wall, "h")
            yield desk.phrase("wall_reached", hours_h=hours, cycle=seen.index + 1)


def _figures(desk: Desk, burned: Burned) -> Figures:
    figures = desk.account.burns[burned.candle.id]
    width_mm = desk.studio.inside_diameter_mm(burned.candle.seen.burn.made)
    rule_h = desk.words.quantity(rule_of_thumb_h(width_mm), "h")
    reached = tuple(_reached(desk, burned, figures))
    rate = figures.rate_g_per_h
    return Figures(
        hours=desk.words.quantity(figures.hours_h, "h"),
        consumed=desk.mass(figures.consumed_g),
        rate=None if rate is None else desk.phrase("rate", rate=f"{rate:.2f}"),
        to_wall=reached,
        rule_of_thumb=desk.phrase("rule_of_thumb", rule_h=rule_h),
    )
