"""Whom the studio buys from, for the owner: the floor edition knows no supplier."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link, name_of


@dataclass(frozen=True, slots=True)
class SupplierRow:
    """One supplier: of what kind, how far, how soon, and how much at the least."""

    link: Link
    kind: str
    distance: str | None
    lead_time: str | None
    minimum_order: str | None


def suppliers_of(desk: Desk) -> tuple[SupplierRow, ...]:
    """Return the suppliers by name; the account of the floor edition has none."""
    return tuple(
        SupplierRow(
            link=Link(name_of(ident), f"suppliers/{ident}"),
            kind=desk.phrase(f"supplier_kinds.{one.kind}"),
            distance=one.distance,
            lead_time=desk.maybe(one.lead_time_days, "days"),
            minimum_order=one.minimum_order,
        )
        for ident, one in sorted(desk.studio.suppliers.items())
    )
