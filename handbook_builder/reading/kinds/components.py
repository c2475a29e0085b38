"""What an oil or a dye is made of, as section 3 of its safety sheet lists it."""

import re
from typing import Final

from handbook_builder.hazards.component import may_limit
from handbook_builder.hazards.wording import taken_words
from handbook_builder.reading import forms
from handbook_builder.reading.fields import (
    BAD,
    Bad,
    Reader,
    Report,
    bounded,
    number,
    share,
    some_share,
    text,
)
from handbook_builder.reading.forms import form_of, takes
from handbook_builder.reading.lists import many
from handbook_builder.reading.nodes import Node, Scalar
from handbook_builder.reading.shape import nested, optional, read_shape, required, shape

_CAS: Final = re.compile(r"([1-9][0-9]{1,6})-([0-9]{2})-([0-9])")
WITHOUT_CAS: Final = "none"
# As sheets write it: "3-7 %" (or with a dash), "≥ 3 - < 7 %", "3 to 7 %", "< 7 %", "≤ 7 %".
_RANGE: Final = re.compile(
    r"(?:[≥>]=?\s*)?(?P<low>[0-9.]+)\s*%?\s*(?:-|\u2013|to)\s*(?:[≤<]=?\s*)?(?P<high>[0-9.]+\s*%)"
)
_UP_TO: Final = re.compile(r"[≤<]=?\s*(?P<high>[0-9.]+\s*%)")
# The same as a form, without the names of its groups, which are written otherwise elsewhere.
_RANGES: Final = "|".join(re.sub(r"\?P<\w+>", "", one.pattern) for one in (_RANGE, _UP_TO))
_m_factor: Final = bounded(number, 1, 1e6, "an M-factor from 1 on")
_dose: Final[Reader[float]] = bounded(number, 0, 1e6, "a number above 0", above=True)
UNKNOWN: Final = "unknown"


@takes(forms.Either((forms.Written(_CAS.pattern), forms.Choice((WITHOUT_CAS,)))))
def _cas(node: Node, report: Report, key: str) -> str | Bad:
    """Read a CAS number, or `none` for what has none; its last digit is checked.

    The last digit is the sum of the others, each times its place counted from the right, modulo 10
    (the registry's own public rule, from memory).
    """
    found = text(node, report, key)
    if isinstance(found, Bad) or found == WITHOUT_CAS:
        return BAD if isinstance(found, Bad) else ""
    parts = _CAS.fullmatch(found)
    if parts is None:
        return report.bad(node, "not_a_cas", found=found)
    digits = parts[1] + parts[2]
    due = sum(place * int(digit) for place, digit in enumerate(reversed(digits), 1)) % 10
    if due == int(parts[3]):
        return found
    return report.bad(node, "cas_digit", found=found, due=due)


@takes(forms.Either((form_of(some_share), forms.Written(_RANGES))))
def _share(node: Node, report: Report, key: str) -> float | Bad:
    """Read a share, or the range of a sheet, which counts at its upper end.

    Who classifies a mixture takes the higher end (enviprofi.cz 2014, second-hand).
    """
    written = " ".join(node.text.split()) if isinstance(node, Scalar) else ""
    spread = _RANGE.fullmatch(written)
    up_to = spread or _UP_TO.fullmatch(written)
    if up_to is None or not isinstance(node, Scalar):
        return some_share(node, report, key)
    high = some_share(_standing_at(node, up_to["high"]), report, key)
    low = share(_standing_at(node, f"{spread['low']} %"), report, key) if spread else 0.0
    if isinstance(high, Bad) or isinstance(low, Bad):
        return BAD
    return high if low < high else report.bad(node, "range_backwards", found=written)


def _standing_at(node: Scalar, written: str) -> Scalar:
    return Scalar(written, node.plain, node.line, node.column)


@takes(forms.Either((forms.Many(forms.Words()), forms.Choice((UNKNOWN,)))))
def _hazards(node: Node, report: Report, key: str) -> tuple[str, ...] | Bad | None:
    """Read hazard classes; an empty list is known to be none, `unknown` is not known."""
    if isinstance(node, Scalar) and node.text.strip() == UNKNOWN:
        return None
    return many(text)(node, report, key)


@shape
class SpecificLimit:
    """From which share on a component makes the class `of` of any mixture."""

    of: str = required(text, "the hazard class")
    at: float = required(some_share, "a share such as 0.01 %")


@shape
class Component:
    """One component of an oil or a dye, with its hazard classes as its safety sheet words them.

    `hazards` is None when they are not known. `limit` is the one of the only class that can have
    one; estimates are in mg/kg, those of what is inhaled in mg/L over four hours.
    """

    name: str = required(text, "the component's name")
    cas: str = required(_cas, "its CAS number, or none")
    share: float = required(_share, "its share of the whole, such as 5 % or 3-7 %")
    hazards: tuple[str, ...] | None = required(_hazards, "a list of hazard classes, or unknown")
    m_acute: float | None = optional(_m_factor)
    m_chronic: float | None = optional(_m_factor)
    ate_oral: float | None = optional(_dose)
    ate_dermal: float | None = optional(_dose)
    ate_vapour: float | None = optional(_dose)
    ate_mist: float | None = optional(_dose)
    limit: float | None = optional(some_share)
    limits: tuple[SpecificLimit, ...] = optional(many(nested(SpecificLimit), 1), ())

    @property
    def limitable(self) -> tuple[str, ...]:
        """Return the classes of this component that can have a specific limit of their own."""
        taken = {word: taken_words(word) for word in self.hazards or ()}
        return tuple(
            word for word, words in taken.items() if words and may_limit(words[0], frozenset(words))
        )


@takes(forms.Keys(Component))
def component(node: Node, report: Report, key: str) -> Component | Bad:
    """Read one component, whose limits must say what they are limits of."""
    found = read_shape(Component, node, report, key)
    if isinstance(found, Bad):
        return BAD
    if found.limit is not None and (found.limits or len(found.limitable) != 1):
        classes = ", ".join(found.limitable) or "no class"
        return report.bad(node, "limit_of_what", found=found.name, classes=classes)
    for limit in found.limits:
        words = taken_words(limit.of)
        own = frozenset(word for text in found.hazards or () for word in taken_words(text))
        if not all(may_limit(word, own) for word in words or ("",)):
            return report.bad(node, "limit_without_class", found=limit.of, name=found.name)
    named = [limit.of for limit in found.limits]
    twice = next((word for word in named if named.count(word) > 1), None)
    if twice is not None:
        return report.bad(node, "limited_twice", found=twice, name=found.name)
    return found
