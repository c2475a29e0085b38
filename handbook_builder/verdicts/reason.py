"""Why something was judged as it was: a code, the numbers, and the line that shows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from handbook_builder.problems import Place


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and its unit, by the unit's name in `words`: mm, g, h, s, c, k, days or share."""

    value: float
    unit: str


def quantity(value: float | None, unit: str) -> Quantity | None:
    """Return a number with its unit, or None where it is not on record."""
    return None if value is None else Quantity(value, unit)


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason. Its sentence stands in the table of phrases, under `code`.

    A number of `details` that has a unit is a `Quantity`, so that a phrase can show it as the
    studio likes to read it.
    """

    code: str
    place: Place
    details: Mapping[str, object] = field(default_factory=dict)
