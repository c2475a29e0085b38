"""What the package and the oracle say of the same mixture, in the same plain words."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from handbook_builder.hazards.classify import Result, classify
from handbook_builder.hazards.component import Component
from handbook_builder.hazards.steps import Step
from tests.hazard_oracle import classify as oracle

KEYS = ("complete", "classes", "signal", "pictograms", "h", "euh208", "contains")
Plain = dict[str, Any]
Item = tuple[str, str]


def component(substance: Plain) -> Component:
    """Return a component of the package from one of the oracle's."""
    words = substance["hazards"]
    return Component(**substance | {"hazards": None if words is None else tuple(words)})


def plain(substance: Component) -> Plain:
    """Return a component of the oracle from one of the package's."""
    fields = {
        key: getattr(substance, key) for key in ("name", "cas", "share", "m_acute", "m_chronic")
    }
    words = None if substance.hazards is None else list(substance.hazards)
    return fields | {"hazards": words, "ate": dict(substance.ate), "limits": dict(substance.limits)}


def told(result: Result) -> Plain:
    """Return a result under the oracle's keys; classes in the order of their letters."""
    found = {key: getattr(result, key) for key in KEYS}
    lists = {key: list(value) for key, value in found.items() if isinstance(value, tuple)}
    return found | lists | {"classes": sorted(result.classes)}


def ours(components: Iterable[Plain], *, accounted_for: bool) -> Plain:
    """Return what the package says of a mixture."""
    held = tuple(component(substance) for substance in components)
    return told(classify(held, accounted_for=accounted_for))


def theirs(components: Iterable[Plain], *, accounted_for: bool = True) -> Plain:
    """Return what the oracle says of a mixture."""
    return oracle.classify(list(components), accounted_for=accounted_for)


def differences(components: list[Plain], *, accounted_for: bool) -> list[str]:
    """Return what differs between the two, so that a failure can be read."""
    mine = ours(components, accounted_for=accounted_for)
    other = theirs(components, accounted_for=accounted_for)
    assert mine.keys() == other.keys()
    return [
        f"{key}: {mine[key]} here, {other[key]} by the oracle"
        for key in KEYS
        if mine[key] != other[key]
    ]


def at_load(oil: Iterable[Plain], dyes: Iterable[Plain], dye: Fraction, load: Fraction) -> Plain:
    """Return what the oracle says of a candle, from shares of the oil and dyes on the wax."""
    whole = 1 + dye + load
    mixed = [substance | {"share": substance["share"] * load / whole} for substance in oil]
    return theirs(
        [*mixed, *(substance | {"share": substance["share"] / whole} for substance in dyes)]
    )


def items(found: Plain) -> set[Item]:
    """Return all that comes and goes with the load, as the steps name it."""
    kinds = {"class": "classes", "pictogram": "pictograms", "statement": "h", "euh208": "euh208"}
    return {(kind, word) for kind, key in kinds.items() for word in found[key]}


def taken(held: set[Item], steps: Iterable[Step]) -> set[Item]:
    """Return what is there after some steps."""
    now = set(held)
    for step in steps:
        if step.appears is None:
            now.remove((step.kind, str(step.falls_away)))
        else:
            assert (step.kind, step.appears) not in now
            now.add((step.kind, step.appears))
    return now
