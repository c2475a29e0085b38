"""Pages that are looked up: the problem codes, and the limits in force with their sources."""

from dataclasses import dataclass
from itertools import groupby

from handbook_builder.notices import NOTICES
from handbook_builder.pages.beside import Beside, beside_each
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.problems import MESSAGES
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.reading.kinds.readings import MEASURES, READ_AS
from handbook_builder.studio.protocol import Protocol, shipped


@dataclass(frozen=True, slots=True)
class ProblemsPage:
    """Every problem code with its message, and what is told although it is no fault."""

    lead: str
    by_letter: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    notices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One limit: `own` says that the studio set it, not the shipped protocol.

    `vessels` says of what material the vessels are that it speaks of.
    """

    measure: str
    vessels: str
    bound: str
    breach: str
    source: str
    published: bool
    own: bool


@dataclass(frozen=True, slots=True)
class Rules:
    """The numbers that say how a test is done."""

    test_candles: int
    pourings: int
    cycle: str
    cycle_tolerance: str
    rest: str
    trim: str
    load_tolerance: str
    fill_tolerance: str
    balance: str
    stop_at: str
    min_wall: tuple[tuple[str, str], ...]
    min_opening: str
    thermal_shock: str | None
    full_pool_by: int
    needs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LimitsPage:
    """Everything that a test candle and a vessel are held against."""

    lead: str
    limits: tuple[LimitRow, ...]
    observations: tuple[tuple[str, str], ...]
    rules: Rules
    shipped_notes: str
    notes: str
    more: tuple[Beside, ...]
    own_tests: str


def problems_page(desk: Desk) -> Page:
    """Return the table of problem codes."""
    messages, warnings = (tuple(sorted(table.items())) for table in (MESSAGES, NOTICES))
    by_letter = tuple((letter, tuple(told)) for letter, told in groupby(messages, _letter))
    content = ProblemsPage(desk.phrase("leads.problems"), by_letter, warnings)
    title = desk.phrase("titles.problems")
    return Page("reference/problems", title, "problems", content, 0.5)


def _letter(message: tuple[str, str]) -> str:
    return message[0][0]


def limits_page(desk: Desk) -> Page:
    """Return the limits of the protocol in force."""
    protocol = desk.studio.protocol
    content = LimitsPage(
        lead=desk.phrase("leads.limits", protocol=protocol.id),
        limits=tuple(_limit(desk, limits) for limits in _by_measure(protocol)),
        observations=tuple(
            (desk.words.seen(word), desk.phrase(f"breaches.{verdict}"))
            for word, verdict in protocol.observations.items()
        ),
        rules=_rules(desk, protocol),
        shipped_notes=shipped().source.body,
        notes="" if protocol.source.id == shipped().source.id else protocol.source.body,
        more=beside_each(desk, (protocol.source, desk.studio.info.source)),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("reference/limits", desk.phrase("titles.limits"), "limits", content, 0.5)


def _by_measure(protocol: Protocol) -> list[Limit]:
    """Return the limits with those of one reading side by side, in the order of the protocol."""
    order = [limit.measure for limit in protocol.limits]
    return sorted(protocol.limits, key=lambda one: order.index(one.measure))


def _limit(desk: Desk, limit: Limit) -> LimitRow:
    side = "at_most" if limit.upper else "at_least"
    return LimitRow(
        measure=desk.words.measure(limit.measure),
        vessels=limit.material or desk.phrase("every_material"),
        bound=desk.phrase(f"bounds.{side}", bound=bound_shown(desk, limit)),
        breach=desk.phrase(f"breaches.{limit.on_breach}"),
        source=limit.source,
        published=limit.published,
        own=limit not in shipped().limits,
    )


def bound_shown(desk: Desk, limit: Limit) -> str:
    """Return the bound of a limit with its unit."""
    return desk.words.quantity(limit.bound, MEASURES[limit.measure].name)


def _rules(desk: Desk, protocol: Protocol) -> Rules:
    show, percent = desk.words.quantity, desk.words.percent
    return Rules(
        test_candles=protocol.test_candles,
        pourings=protocol.pourings,
        cycle=show(protocol.cycle_h, "h"),
        cycle_tolerance=show(protocol.cycle_tolerance_h, "h"),
        rest=show(protocol.rest_h, "h"),
        trim=show(protocol.trim_mm, "mm"),
        load_tolerance=percent(protocol.load_tolerance),
        fill_tolerance=percent(protocol.fill_tolerance),
        balance=percent(protocol.balance),
        stop_at=show(protocol.stop_at_mm, "mm"),
        min_wall=_walls(desk, protocol),
        min_opening=percent(protocol.min_opening),
        thermal_shock=desk.maybe(protocol.thermal_shock_k, "k"),
        full_pool_by=protocol.full_pool_by,
        needs=_needed(protocol),
    )


def _needed(protocol: Protocol) -> tuple[str, ...]:
    """Return what is due by the protocol's word, and what its limits that can fail make due."""
    failing = (limit.measure for limit in protocol.limits if limit.on_breach == "fail")
    return tuple(dict.fromkeys((*protocol.needs, *(READ_AS.get(one, one) for one in failing))))


def _walls(desk: Desk, protocol: Protocol) -> tuple[tuple[str, str], ...]:
    """Return the least wall of each material; one entry for all that ask for the same."""
    by_width: dict[float, list[str]] = {}
    for material, width_mm in (protocol.min_wall_mm or {}).items():
        by_width.setdefault(width_mm, []).append(material)
    return tuple(
        (", ".join(materials), desk.words.quantity(width_mm, "mm"))
        for width_mm, materials in by_width.items()
    )
