"""What an oil or a dye is made of, as its safety sheet gives it."""

from collections.abc import Iterator
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk
from handbook_builder.reading.kinds.components import Component
from handbook_builder.reading.kinds.items import Colorant, Fragrance


@dataclass(frozen=True, slots=True)
class Constituent:
    """One constituent: its factors for the water hazard, its toxicity, its own limits."""

    name: str
    cas: str
    share: str
    hazards: str
    m_acute: str | None
    m_chronic: str | None
    ate: str | None
    limits: str | None


def constituents(desk: Desk, item: Fragrance | Colorant) -> tuple[Constituent, ...]:
    """Return the constituents of an oil or a dye in words, in the order of its record."""
    return tuple(
        Constituent(
            name=component.name,
            cas=component.cas or desk.phrase("constituents.no_cas"),
            share=desk.words.percent(component.share),
            hazards=_hazards(desk, component),
            m_acute=_number(component.m_acute),
            m_chronic=_number(component.m_chronic),
            ate="; ".join(_estimates(desk, component)) or None,
            limits="; ".join(_limits(desk, component)) or None,
        )
        for component in item.components
    )


def _hazards(desk: Desk, component: Component) -> str:
    """Return the hazard classes; none that are known and none at all are two things."""
    if component.hazards is None:
        return desk.phrase("constituents.unknown")
    return ", ".join(component.hazards) or desk.phrase("constituents.harmless")


def _estimates(desk: Desk, component: Component) -> Iterator[str]:
    """Yield the toxicity estimates, each with its unit and its route."""
    by_route = {
        "oral": component.ate_oral,
        "dermal": component.ate_dermal,
        "vapour": component.ate_vapour,
        "mist": component.ate_mist,
    }
    for route, dose in by_route.items():
        if dose is not None:
            yield desk.phrase(f"constituents.estimates.{route}", dose=_number(dose))


def _limits(desk: Desk, component: Component) -> Iterator[str]:
    """Yield the specific limits, each with its class where the record says it."""
    if component.limit is not None:
        yield desk.words.percent(component.limit)
    for limit in component.limits:
        yield desk.phrase("constituents.limit", of=limit.of, at=desk.words.percent(limit.at))


def _number(value: float | None) -> str | None:
    return None if value is None else f"{value:g}"
