"""What the picture of a burn shows: the vessel in section, and in it the wax of each cycle."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from handbook_builder.figures.fill import cylinder_height_mm
from handbook_builder.pages.board.reckoned import several
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.tests.columns import spoken_of
from handbook_builder.reading.kinds import readings as read
from handbook_builder.reading.kinds.making import Made
from handbook_builder.reading.kinds.readings import FLAME, WALL, Cycle
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.words import Word

# A vessel whose height is not on file is drawn this much higher than its fill, with an open rim.
_ABOVE_FILL: Final = 1.15


@dataclass(frozen=True, slots=True)
class Section:
    """A vessel cut open, in millimetres; `is_high` says whether its height is on file."""

    inside_mm: float
    height_mm: float
    is_high: bool
    fill_mm: float
    wall_mm: float


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit that a reading is seen against, how it is said, and whether a breach fails."""

    value: float
    said: str
    fails: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading of a cycle: its value and how it is said; `broke` and `watched` are by a limit.

    A reading that was not taken has no value.
    """

    value: float | None
    said: str
    broke: bool
    watched: bool


@dataclass(frozen=True, slots=True)
class Level:
    """Between which heights above the floor a cycle burned."""

    top_mm: float
    bottom_mm: float


@dataclass(frozen=True, slots=True)
class Band:
    """One cycle: the wax that it burned, and what was read; the pool is a share of the width."""

    number: int
    tone: str
    level: Level | None
    pool: Seen
    depth_mm: float | None
    flame: Seen
    wall: Seen


@dataclass(frozen=True, slots=True)
class BurnPicture:
    """The picture of one burn; `summary` says what this burn shows, for who cannot see it."""

    id: str
    name: str
    title: str
    summary: str
    note: str
    path: str
    word: Word
    section: Section
    bands: tuple[Band, ...]
    flame_bounds: tuple[Bound, ...]
    wall_bounds: tuple[Bound, ...]
    heads: tuple[str, str, str]
    columns: tuple[str, ...]
    rows: tuple[tuple[str | None, ...], ...]


def picture_of(desk: Desk, burned: Burned) -> BurnPicture | None:
    """Return the picture of a burn, or None while it was never lit."""
    candle = burned.candle
    if not candle.seen.cycles:
        return None
    section = section_of_burn(desk, candle.seen.burn.made)
    bands = tuple(_bands(desk, burned, section))
    pool, flame, wall = (desk.phrase(f"glance.heads.{name}") for name in ("pool", "flame", "wall"))
    return BurnPicture(
        id=f"burn-{candle.id}",
        name=desk.phrase("glance.name", candle=candle.seen.burn.candle),
        title=desk.phrase("glance.title", candle=candle.seen.burn.candle),
        summary=" ".join(_summary(desk, burned, bands)),
        note=desk.phrase("glance.note" if section.is_high else "glance.note_open"),
        path=f"tests/{candle.id}",
        word=desk.words.verdict(candle.verdict),
        section=section,
        bands=bands,
        flame_bounds=_bounds(desk, burned, FLAME.key),
        wall_bounds=_bounds(desk, burned, WALL.key),
        heads=(pool, flame, wall),
        columns=(*desk.words.phrases["pages"]["glance"]["columns"], pool, flame, wall),
        rows=tuple(_row(desk, band) for band in bands),
    )


def pictures_of(desk: Desk, candles: Iterable[CandleVerdict]) -> tuple[BurnPicture, ...]:
    """Return the pictures of sister candles, by letter; what was never lit has none."""
    by_letter = sorted(
        candles, key=lambda each: (len(each.seen.burn.candle), each.seen.burn.candle, each.id)
    )
    found = (picture_of(desk, desk.judged.burns[candle.id]) for candle in by_letter)
    return tuple(picture for picture in found if picture is not None)


def section_of_burn(desk: Desk, made: Made) -> Section:
    """Return the vessel of a test candle in section, with the width that the candle had."""
    return section_of_vessel(desk, made.vessel, desk.studio.inside_diameter_mm(made))


def section_of_vessel(desk: Desk, ident: str, inside_mm: float | None = None) -> Section:
    """Return a vessel in section, taken to be straight: what is on file is one width."""
    vessel = desk.studio.vessels[ident]
    width_mm = vessel.inside_diameter_mm if inside_mm is None else inside_mm
    fill_mm = cylinder_height_mm(desk.account.vessels[ident].fill_ml, width_mm)
    least_mm = fill_mm * _ABOVE_FILL
    height_mm = vessel.inside_height_mm
    is_high = height_mm is not None and height_mm >= fill_mm
    return Section(
        inside_mm=width_mm,
        height_mm=height_mm if is_high and height_mm is not None else least_mm,
        is_high=is_high,
        fill_mm=fill_mm,
        wall_mm=vessel.wall_mm or 0.0,
    )


def _bands(desk: Desk, burned: Burned, section: Section) -> Iterator[Band]:
    """Yield what each cycle burned and showed."""
    candle = burned.candle
    figures = desk.account.burns[candle.id].cycles
    used_g = [figure.consumed_g for figure in figures]
    levels = _levels(section.fill_mm, burned.combination.net_g, used_g)
    for level, seen, verdict, figure in zip(
        levels, candle.seen.cycles, candle.cycles, figures, strict=True
    ):
        cycle = seen.cycle
        yield Band(
            number=verdict.number,
            tone=desk.words.verdict(verdict.verdict).tone,
            level=level,
            pool=_pool(desk, cycle, figure.coverage, verdict),
            depth_mm=cycle.depth_mm,
            flame=_reading(desk, FLAME, cycle, verdict),
            wall=_reading(desk, WALL, cycle, verdict),
        )


def _levels(fill_mm: float, net_g: float, used_g: Sequence[float | None]) -> Iterator[Level | None]:
    """Yield between which heights each cycle burned: its share of the fill is that of the wax.

    After a cycle that was not weighed nobody knows where the wax stands.
    """
    left_g: float | None = net_g
    for used in used_g:
        after_g = None if left_g is None or used is None else max(left_g - used, 0.0)
        if left_g is None or after_g is None:
            yield None
        else:
            yield Level(fill_mm * left_g / net_g, fill_mm * after_g / net_g)
        left_g = after_g


def _reading(desk: Desk, what: read.Reading, cycle: Cycle, verdict: CycleVerdict) -> Seen:
    value = what.of(cycle)
    said = "" if value is None else desk.terse.quantity(value, what.unit.name)
    return Seen(value, said, *spoken_of(verdict, what.key))


def _pool(desk: Desk, cycle: Cycle, coverage: float | None, verdict: CycleVerdict) -> Seen:
    """Return the pool, as its share of the inside width."""
    said = "" if cycle.pool_mm is None else desk.terse.quantity(cycle.pool_mm, "mm")
    return Seen(coverage, said, *spoken_of(verdict, read.COVERAGE))


def _bounds(desk: Desk, burned: Burned, measure: str) -> tuple[Bound, ...]:
    """Return the upper limits on a measure that speak of this candle's vessel."""
    material = desk.studio.vessels[burned.candle.seen.burn.made.vessel].material
    return tuple(
        Bound(limit.bound, desk.words.quantity(limit.bound, read.MEASURES[measure].name),
              limit.on_breach == "fail")
        for limit in desk.studio.protocol.limits
        if limit.measure == measure and limit.upper and limit.material in {None, material}
    )  # fmt: skip


def _summary(desk: Desk, burned: Burned, bands: Sequence[Band]) -> Iterator[str]:
    """Yield what this burn shows, in sentences."""
    candle = burned.candle
    figures = desk.account.burns[candle.id]
    yield several(
        desk, "glance.burned", len(bands),
        hours=desk.words.quantity(figures.hours_h, "h"),
        consumed=desk.mass(figures.consumed_g), net=desk.mass(burned.combination.net_g),
    )  # fmt: skip
    for name in ("flame", "wall"):
        yield from _greatest(desk, name, bands)
    yield from _wide(desk, bands)
    broke = [desk.words.say(reason) for verdict in candle.cycles for reason in verdict.failures]
    yield " ".join(broke) or desk.phrase("glance.none_broke")


def _greatest(desk: Desk, name: str, bands: Sequence[Band]) -> Iterator[str]:
    """Yield the greatest reading of a kind, and its cycle."""
    readings = [
        (seen.value, seen.said, band.number)
        for band in bands
        if (seen := getattr(band, name)).value is not None
    ]
    if readings:
        _, said, cycle = max(readings, key=lambda reading: (reading[0], -reading[2]))
        yield desk.phrase(f"glance.greatest.{name}", said=said, cycle=cycle)


def _wide(desk: Desk, bands: Sequence[Band]) -> Iterator[str]:
    """Yield the widest pool, as a share of the inside width."""
    pools = [(band.pool.value, band.number) for band in bands if band.pool.value is not None]
    if pools:
        share, cycle = max(pools, key=lambda pool: (pool[0], -pool[1]))
        yield desk.phrase("glance.widest", share=f"{share:.0%}", cycle=cycle)


def _row(desk: Desk, band: Band) -> tuple[str | None, ...]:
    """Return a cycle as a row of the table that says the same."""
    level = None if band.level is None else _said_level(desk, band.level)
    seen = (band.pool, band.flame, band.wall)
    return (str(band.number), level, *(_marked(desk, each) for each in seen))


def _said_level(desk: Desk, level: Level) -> str:
    top, bottom = (
        desk.words.quantity(float(round(height_mm)), "mm")
        for height_mm in (level.top_mm, level.bottom_mm)
    )
    return desk.phrase("glance.level", top=top, bottom=bottom)


def _marked(desk: Desk, seen: Seen) -> str | None:
    """Return a reading for a cell, with a word where a limit speaks of it."""
    if seen.value is None:
        return None
    word = "broke" if seen.broke else "watched" if seen.watched else ""
    return desk.phrase(f"glance.{word}", said=seen.said) if word else seen.said
