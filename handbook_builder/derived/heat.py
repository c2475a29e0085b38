"""The heats of a pour, in one order: how hot the wax gets, when the oil goes in, when it is poured.

Only the wax sets them. The flash point of an oil is about its own vapour at a flame or a spark,
and no temperature to cool to.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from handbook_builder.reading.refs import Ref

_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Heat:
    """The temperatures of one wax or oil, each None where it is not recorded."""

    item: Ref
    heat_to_c: float | None
    add_at_c: float | None
    pour_at_c: float | None
    flash_point_c: float | None

    @property
    def is_wax(self) -> bool:
        """Return whether it is a wax, which is heated; an oil never is."""
        return self.item.folder == "waxes"


@dataclass(frozen=True, slots=True)
class Order:
    """What a sheet may order of the waxes together, each None where it orders nothing.

    `written` are the same three as the records have them. Where one of them is not below the
    lowest flash point, or above the heat that the wax is heated to, it is `withheld`: a sheet
    must not order it.
    """

    heat_to_c: float | None
    add_at_c: float | None
    pour_at_c: float | None
    flash_point_c: float | None
    written: dict[str, float | None]
    withheld: tuple[str, ...]


def order_of(heats: Iterable[Heat]) -> Order:
    """Return the order of heat of a mixture: of each the lowest that any of its waxes names."""
    waxes = [heat for heat in heats if heat.is_wax]
    flash_c = _lowest(wax.flash_point_c for wax in waxes)
    written = {
        "heat_to": _lowest(wax.heat_to_c for wax in waxes),
        "add_at": _lowest(wax.add_at_c for wax in waxes),
        "pour_at": _lowest(wax.pour_at_c for wax in waxes),
    }
    withheld = tuple(
        name
        for name, heat_c in written.items()
        if heat_c is not None
        and (_reaches(heat_c, flash_c) or _exceeds(heat_c, written["heat_to"]))
    )
    told = {name: None if name in withheld else heat_c for name, heat_c in written.items()}
    return Order(
        heat_to_c=told["heat_to"],
        add_at_c=told["add_at"],
        pour_at_c=told["pour_at"],
        flash_point_c=flash_c,
        written=written,
        withheld=withheld,
    )


def _lowest(values: Iterable[float | None]) -> float | None:
    return min((value for value in values if value is not None), default=None)


def _reaches(heat_c: float, flash_c: float | None) -> bool:
    return flash_c is not None and heat_c > flash_c - _SLACK


def _exceeds(heat_c: float, most_c: float | None) -> bool:
    return most_c is not None and heat_c > most_c + _SLACK
