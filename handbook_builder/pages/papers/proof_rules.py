"""The protocol as a proof tells it: every rule and limit, its source, and where it is written."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.papers.places import From, Stated, come_from
from handbook_builder.pages.reference import bound_shown
from handbook_builder.reading.kinds.house import Limit
from handbook_builder.studio.protocol import Protocol

_AS_SHARE = ("load_tolerance", "fill_tolerance", "balance", "min_opening")
_BY_UNIT = (
    ("cycle", "cycle_h", "h"),
    ("cycle_tolerance", "cycle_tolerance_h", "h"),
    ("rest", "rest_h", "h"),
    ("trim", "trim_mm", "mm"),
    ("stop_at", "stop_at_mm", "mm"),
)
_COUNTED = ("test_candles", "pourings", "full_pool_by")


@dataclass(frozen=True, slots=True)
class ProofLimit:
    """One limit, what a breach does, where the number comes from, and where it is written."""

    what: str
    bound: str
    breach: str
    source: str
    place: From


@dataclass(frozen=True, slots=True)
class ProofRules:
    """The protocol in force."""

    lead: str
    limits: tuple[ProofLimit, ...]
    rules: tuple[Stated, ...]
    sights: tuple[Stated, ...]


def rules_of(desk: Desk) -> ProofRules:
    """Return all that the test candles and their vessel were judged by."""
    protocol = desk.studio.protocol
    return ProofRules(
        lead=desk.phrase("papers.proof.protocol", protocol=protocol.id),
        limits=tuple(_limit(desk, limit) for limit in protocol.limits),
        rules=tuple(_rules(desk, protocol)),
        sights=tuple(
            Stated(
                desk.words.seen(word),
                desk.phrase(f"breaches.{breach}"),
                (come_from(desk, protocol.place_of(f"observations.{word}")),),
            )
            for word, breach in protocol.observations.items()
        ),
    )


def _limit(desk: Desk, limit: Limit) -> ProofLimit:
    side = "at_most" if limit.upper else "at_least"
    measure = desk.words.measure(limit.measure)
    of_material = desk.phrase("papers.proof.of", what=measure, material=limit.material)
    return ProofLimit(
        what=measure if limit.material is None else of_material,
        bound=desk.phrase(f"bounds.{side}", bound=bound_shown(desk, limit)),
        breach=desk.phrase(f"breaches.{limit.on_breach}"),
        source=limit.source,
        place=come_from(desk, desk.studio.protocol.limit_places[limit.slot]),
    )


def _rules(desk: Desk, protocol: Protocol) -> Iterator[Stated]:
    """Yield the rules that say how a test is done, each from the line that sets it."""
    for key in _COUNTED:
        yield _rule(desk, protocol, key, str(getattr(protocol, key)))
    for key, field, unit in _BY_UNIT:
        yield _rule(desk, protocol, key, desk.words.quantity(getattr(protocol, field), unit))
    for key in _AS_SHARE:
        yield _rule(desk, protocol, key, desk.words.percent(getattr(protocol, key)))
    shock = desk.maybe(protocol.thermal_shock_k, "k")
    yield _rule(desk, protocol, "thermal_shock", shock or desk.phrase("not_recorded"))
    for material, width_mm in (protocol.min_wall_mm or {}).items():
        wall = desk.phrase(
            "papers.proof.of", what=desk.words.quantity(width_mm, "mm"), material=material
        )
        yield _rule(desk, protocol, "min_wall", wall)
    needs = ", ".join(need.replace("_", " ") for need in protocol.needs)
    yield _rule(desk, protocol, "needs", needs)


def _rule(desk: Desk, protocol: Protocol, key: str, value: str) -> Stated:
    place = come_from(desk, protocol.place_of(key))
    return Stated(desk.phrase(f"papers.rules.{key}"), value, (place,))
