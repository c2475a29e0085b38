"""The table of what is asked about one candle's cycles: every threshold, for that candle."""

from collections.abc import Iterator, Mapping
from math import fsum
from typing import Final

from handbook_builder.derived.asked import (
    FIRST,
    LATER,
    NO_ROOM,
    NOT_OUT,
    POOL_DUE,
    Grounds,
    Row,
    Shown,
    Table,
)
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.making import Burn, Made
from handbook_builder.reading.kinds.readings import COVERAGE, MEAN_AFTER_SMOKE, MEASURES, READ_AS
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.cycles import POOL_SLACK, breach_code
from handbook_builder.verdicts.readings import SLACK

# How far a first weight may be off: a vessel's own weight varies, and so do wick and sticker.
_VESSEL_VARIES: Final = 0.10
_BESIDE_G: Final = 5.0
# What can hardly be read at a candle: common practice, no published source. All of it is asked
# about and nothing is refused, so each bound stands well beyond what a bad candle shows.
_COOLEST_ROOM_C: Final = 15.0  # the least that a test room should be; a room unsaid may be cooler
_SMALLEST_FLAME_MM: Final = 4.0  # a flame that starves goes out below it
_NARROWEST_POOL: Final = 0.10  # of the inside width: no wider than the wick and its own puddle
# Molten from top to bottom, a pool is as deep as its wax. Without the vessel's height it is held
# to that of a tall one: five times the depth at which a limit is commonly set.
_DEEPEST_MM: Final = 60.0
_LONGEST_SMOKE_S: Final = 120.0  # minutes of smoke are a fire: such a number has another unit
_FASTEST_G_PER_H: Final = 25.0  # for each wick: thrice what a thick one burns
_SCALES: Final = 2.0  # two readings of a scale differ by its readability each


def table_of(studio: Studio, burn: Burn) -> Table:
    """Return the table for one candle. A misuse burn breaks rules on purpose: of it, slips alone.

    What was seen in a cycle, how long the candle had rested and whether a cycle is on file twice
    are no comparisons of two numbers, and stand beside the table.
    """
    grounds = grounds_of(studio, burn)
    rules = () if burn.is_misuse else tuple(_rules(studio, burn, grounds))
    return Table(grounds, tuple(_slips(studio, burn, grounds)), rules)


def grounds_of(studio: Studio, burn: Burn) -> Grounds:
    """Return what the values of a candle's cycles are reckoned with."""
    protocol = studio.protocol
    return Grounds(
        poured_g=poured_g(burn.made),
        empty_g=studio.vessels[burn.made.vessel].empty_mass_g,
        inside_mm=studio.inside_diameter_mm(burn.made),
        full_pool_by=protocol.full_pool_by,
        shortest_h=protocol.cycle_h - protocol.cycle_tolerance_h,
    )


def poured_g(made: Made) -> float:
    """Return the mass of all that was poured into a test candle."""
    return fsum((*made.wax.values(), *made.fragrance.values(), *made.colorant.values()))


def _slips(studio: Studio, burn: Burn, grounds: Grounds) -> Iterator[Row]:
    """Yield what can hardly be in a cycle, and no verdict speaks of."""
    yield from _first_mass(grounds)
    yield from _warmth()
    yield from _pool(grounds)
    yield _depth(studio.vessels[burn.made.vessel].inside_height_mm)
    yield from _below_empty(grounds)
    yield _rate(burn.made.wicks)


def _blank(**shown: tuple[float | str, str]) -> Mapping[str, Shown]:
    """Return the blanks of a sentence, each a value (or its name) and its unit."""
    return {name: Shown(value, unit) for name, (value, unit) in shown.items()}


def _first_mass(grounds: Grounds) -> Iterator[Row]:
    """Yield when the first weight of all cannot be that of this vessel with this fill."""
    poured = grounds.poured_g
    shown = _blank(before_g=("before", "g"), poured_g=(poured, "g"))
    yield Row("too_light", "before", "before", upper=False, bound=poured, shown=shown,
              only=(FIRST,))  # fmt: skip
    if grounds.empty_g is not None:
        more = _blank(empty_g=(grounds.empty_g, "g"), due_g=(grounds.empty_g + poured, "g"))
        yield Row("far_off", "before", "off", upper=True, bound=_slack_g(grounds.empty_g),
                  shown={**shown, **more}, only=(FIRST,), unless="too_light")  # fmt: skip


def _slack_g(empty_g: float) -> float:
    """Return how far a vessel with its wick may be off the empty vessel on file."""
    return _VESSEL_VARIES * empty_g + _BESIDE_G


def _warmth() -> Iterator[Row]:
    """Yield when wall, flame or smoke are not those of a candle that burns."""
    room = _blank(wall_c=("wall", "c"), room_c=("room", "c"))
    yield Row("wall_below_room", "wall", "wall", upper=False, bound="room", shown=room)
    cool = _blank(wall_c=("wall", "c"), room_c=(_COOLEST_ROOM_C, "c"))
    yield Row("wall_cold", "wall", "wall", upper=False, bound=_COOLEST_ROOM_C, shown=cool,
              only=(NO_ROOM,))  # fmt: skip
    flame = _blank(flame_mm=("flame", "mm"), least_mm=(_SMALLEST_FLAME_MM, "mm"))
    yield Row("flame_tiny", "flame", "flame", upper=False, bound=_SMALLEST_FLAME_MM, shown=flame)
    smoke = _blank(smoke_s=("after_smoke", "s"), most_s=(_LONGEST_SMOKE_S, "s"))
    yield Row("smoke_long", "after_smoke", "after_smoke", upper=True, bound=_LONGEST_SMOKE_S,
              shown=smoke)  # fmt: skip


def _pool(grounds: Grounds) -> Iterator[Row]:
    """Yield when the pool shrank while it burned, or is hardly one."""
    shrank = _blank(pool_mm=("pool", "mm"), widest_mm=("widest", "mm"))
    yield Row("pool_shrank", "pool", "pool", upper=False, bound="widest", shown=shrank)
    tiny = _blank(pool_mm=("pool", "mm"), inside_mm=(grounds.inside_mm, "mm"))
    yield Row("pool_tiny", "pool", "pool", upper=False, bound=_NARROWEST_POOL * grounds.inside_mm,
              shown=tiny)  # fmt: skip


def _depth(height_mm: float | None) -> Row:
    """Return when the pool is deeper than its vessel."""
    code = "depth_great" if height_mm is None else "depth_beyond"
    most_mm = _DEEPEST_MM if height_mm is None else height_mm
    shown = _blank(depth_mm=("depth", "mm"), most_mm=(most_mm, "mm"))
    return Row(code, "depth", "depth", upper=True, bound=most_mm, shown=shown)


def _below_empty(grounds: Grounds) -> Iterator[Row]:
    """Yield each weight that is less than the vessel alone; the first of all is asked otherwise."""
    if grounds.empty_g is None:
        return
    least_g = grounds.empty_g - _slack_g(grounds.empty_g)
    for key, only in (("before", (LATER,)), ("after", ())):
        shown = _blank(key=(key, ""), mass_g=(key, "g"), empty_g=(grounds.empty_g, "g"))
        yield Row("below_empty", key, key, upper=False, bound=least_g, shown=shown, only=only)


def _rate(wicks: int) -> Row:
    """Return when more burned in an hour than wicks can burn."""
    most = _FASTEST_G_PER_H * wicks
    shown = _blank(rate_g_per_h=("rate", "g_per_h"), most_g_per_h=(most, "g_per_h"))
    return Row("rate_great", "after", "rate", upper=True, bound=most, shown=shown)


def _rules(studio: Studio, burn: Burn, grounds: Grounds) -> Iterator[Row]:
    """Yield what the protocol in force asks of a cycle, in the order of its verdict."""
    material = studio.vessels[burn.made.vessel].material
    for limit in studio.protocol.limits:
        fails = limit.on_breach == "fail" and limit.measure != MEAN_AFTER_SMOKE
        if fails and limit.material in {None, material}:
            yield _limit(limit)
    yield from _duration(studio)
    yield from _masses(burn, grounds)
    cure_days = max(studio.waxes[ident].cure_days for ident in burn.made.wax)
    shown = _blank(cured=("cured", "days"), cure=(cure_days, "days"))
    yield Row("not_cured", "on", "cured", upper=False, bound=cure_days, shown=shown,
              only=(FIRST,), slack=0.0)  # fmt: skip


def _limit(limit: Limit) -> Row:
    """Return the row of a limit that fails a candle."""
    unit = MEASURES[limit.measure].name
    shown = _blank(reading=(limit.measure, unit), limit=(limit.bound, unit))
    only = (POOL_DUE,) if limit.measure == COVERAGE else ()
    key = READ_AS.get(limit.measure, limit.measure)
    return Row(breach_code(limit), key, limit.measure, limit.upper, limit.bound, shown, only)


def _duration(studio: Studio) -> Iterator[Row]:
    protocol = studio.protocol
    due_h, off_h = protocol.cycle_h, protocol.cycle_tolerance_h
    shown = _blank(burned=("burned", "h"), due=(due_h, "h"), tolerance=(off_h, "h"))
    yield Row("too_long", "burned", "burned", upper=True, bound=due_h + off_h, shown=shown)
    yield Row("too_short", "burned", "burned", upper=False, bound=due_h - off_h, shown=shown,
              only=(NOT_OUT,))  # fmt: skip


def _masses(burn: Burn, grounds: Grounds) -> Iterator[Row]:
    """Yield what contradicts itself: the day, the masses, the width of the pool."""
    poured = _blank(made_on=(burn.made.on.isoformat(), ""))
    yield Row("before_pouring", "on", "cured", upper=False, bound=0.0, shown=poured, slack=0.0)
    both = _blank(before=("before", "g"), after=("after", "g"))
    yield Row("mass_went_up", "after", "gained", upper=True, bound=0.0, shown=both, slack=0.0)
    yield Row("nothing_burned", "after", "changed", upper=False, bound=2 * SLACK,
              shown=_blank(after=("after", "g")))  # fmt: skip
    wide = _blank(pool=("pool", "mm"), inside=(grounds.inside_mm, "mm"))
    yield Row("pool_too_wide", "pool", "pool", upper=True, bound=POOL_SLACK * grounds.inside_mm,
              shown=wide)  # fmt: skip
    jump = _blank(before=("before", "g"), last=("last", "g"), trimmed=("trimmed", "g"),
                  scale=(burn.scale_g, "g"))  # fmt: skip
    yield Row("mass_jumped", "before", "jumped", upper=True, bound=_SCALES * burn.scale_g,
              shown=jump, only=(LATER,))  # fmt: skip
