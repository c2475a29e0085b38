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
            name=one.name,
            cas=one.cas,
            share=desk.words.percent(one.share),
            hazards=", ".join(one.hazards),
            m_acute=_number(one.m_acute),
            m_chronic=_number(one.m_chronic),
            ate_oral=_number(one.ate_oral),
            limit=None if one.limit is None else desk.words.percent(one.limit),
        )
        for one in oil.components
    )


def _number(value: float | None) -> str | None:
    return None if value is None else f"{value:g}"
