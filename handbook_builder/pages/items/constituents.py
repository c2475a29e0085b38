"""What an oil is made of, as its safety sheet gives it. Nothing is reckoned with it here."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.items import Fragrance


@dataclass(frozen=True, slots=True)
class Constituent:
    """One constituent: its factors for the water hazard, its oral toxicity, its own limit."""

    name: str
    cas: str
    share: str
    hazards: str
    m_acute: str | None
    m_chronic: str | None
    ate_oral: str | None
    limit: str | None


def constituents(desk: Desk, oil: Fragrance) -> tuple[Constituent, ...]:
    """Return the constituents of an oil in words, in the order of its record."""
    return tuple(
        Constituent(
            name=component.name,
            cas=component.cas,
            share=desk.words.percent(component.share),
            hazards=", ".join(component.hazards),
            m_acute=_number(component.m_acute),
            m_chronic=_number(component.m_chronic),
            ate_oral=_number(component.ate_oral),
            limit=None if component.limit is None else desk.words.percent(component.limit),
        )
        for component in oil.components
    )


def _number(value: float | None) -> str | None:
    return None if value is None else f"{value:g}"
