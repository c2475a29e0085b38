"""Mixtures written by hand, in per cent of the finished candle."""

from fractions import Fraction
from typing import Any

from .classify import classify
from .words import AQUATIC_ACUTE, AQUATIC_CHRONIC, Component

ACUTE_1, CHRONIC_1 = AQUATIC_ACUTE, AQUATIC_CHRONIC[0]


def holds(share: str, *hazards: str, **told: Any) -> Component:  # noqa: ANN401 -- any field of it
    """Return a component: its share in per cent, its words, and any other field by its name.

    It has a CAS number of its own, made of its name, unless `cas` says another.
    """
    name = told.pop("name", f"{share} of {' and '.join(hazards) or 'harmless'}")
    limits = {word: Fraction(limit) / 100 for word, limit in told.pop("limits", {}).items()}
    ate = {route: Fraction(value) for route, value in told.pop("ate", {}).items()}
    plain = {"cas": f"of {name}", "m_acute": None, "m_chronic": None}
    worked = {"name": name, "share": Fraction(share) / 100, "hazards": list(hazards)}
    return plain | worked | {"limits": limits, "ate": ate} | told


def chronic(share: str, factor: int = 1) -> Component:
    """Return a component of the first chronic category with its M-factor."""
    return holds(share, CHRONIC_1, m_chronic=Fraction(factor), name=f"{share} x {factor}")


def told(*components: Component, accounted_for: bool = True) -> dict[str, Any]:
    """Return what the oracle says of some components."""
    return classify(list(components), accounted_for=accounted_for)


def classes(*components: Component) -> list[str]:
    """Return the classes of some components."""
    found: list[str] = told(*components)["classes"]
    return found
