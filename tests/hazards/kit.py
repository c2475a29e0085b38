"""Short ways to write a component, and components drawn at random."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from hypothesis import strategies as st

from handbook_builder.hazards.classify import Result, classify
from handbook_builder.hazards.component import Component
from handbook_builder.hazards.wording import LABELS

Doses = Mapping[str, int | str]


def part(  # noqa: PLR0913 - what a component has, in a table's words
    percent: str,
    *hazards: str,
    cas: str = "",
    name: str = "",
    m: tuple[int | None, int | None] = (None, None),
    ate: Doses | None = None,
    limits: Mapping[str, str] | None = None,
    unknown: bool = False,
) -> Component:
    """Return a component from its share and limits in per cent."""
    label = cas or name or f"{percent} of {', '.join(hazards) or 'none'}"
    return Component(
        name=name or f"stuff {label}",
        cas=cas or label,
        share=Fraction(percent) / 100,
        hazards=None if unknown else hazards,
        m_acute=None if m[0] is None else Fraction(m[0]),
        m_chronic=None if m[1] is None else Fraction(m[1]),
        ate={route: Fraction(dose) for route, dose in (ate or {}).items()},
        limits={word: Fraction(limit) / 100 for word, limit in (limits or {}).items()},
    )


def classes(*components: Component) -> tuple[str, ...]:
    """Return the classes of a candle."""
    return classify(components).classes


def codes(result: Result) -> set[str]:
    """Return the codes of what is missing."""
    return {note.code for note in result.missing}


WORDS: Final = (
    *LABELS, "Acute Tox. 3", "Acute Tox. 4", "Acute Tox. 4 (inhalation)", "STOT SE 3",
    "Flam. Liq. 3", "Skin Sens. 1B (H317)", "no such word",
)  # fmt: skip
_CAS: Final = tuple(f"{number}-00-0" for number in range(101, 107))
_LIMITABLE: Final = (
    "Skin Corr. 1B", "Skin Irrit. 2", "Eye Dam. 1", "Skin Sens. 1A", "STOT SE 1", "Carc. 2",
)  # fmt: skip


def shares() -> st.SearchStrategy[Fraction]:
    """Return shares up to a fifth, many of them at a limit of some rule."""
    even = st.sampled_from(("0.01", "0.1", "0.3", "1", "2.5", "3", "5", "10", "20"))
    odd = st.integers(1, 2000).map(lambda number: Fraction(number, 100))
    return st.one_of(even.map(Fraction), odd).map(lambda percent: percent / 100)


def limits() -> st.SearchStrategy[dict[str, Fraction]]:
    """Return specific limits, some of them for classes that the component has not."""
    return st.dictionaries(st.sampled_from(_LIMITABLE), shares(), max_size=2)


def facts() -> st.SearchStrategy[Component]:
    """Return components, several of one CAS number among them."""
    hazards = st.one_of(
        st.none(), st.lists(st.sampled_from(WORDS), max_size=4, unique=True).map(tuple)
    )
    factors = st.sampled_from((None, Fraction(1), Fraction(10), Fraction(100)))
    doses = st.dictionaries(
        st.sampled_from(("oral", "dermal", "vapour")),
        st.sampled_from((Fraction(3), Fraction(40), Fraction(400), Fraction(3000))),
        max_size=2,
    )
    return st.builds(
        Component,
        name=st.sampled_from(("alpha", "beta", "gamma")),
        cas=st.sampled_from(_CAS),
        share=shares(),
        hazards=hazards,
        m_acute=factors,
        m_chronic=factors,
        ate=doses,
        limits=limits(),
    )


def pantry() -> st.SearchStrategy[tuple[Component, ...]]:
    """Return the components of a candle or of an oil."""
    return st.lists(facts(), max_size=5).map(tuple)
