"""Waxes, wicks, fragrances, colorants and packaging: limits, papers, lots, and where used."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, TypeVar

from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Link, item_link, name_of
from handbook_builder.pages.items.constituents import Constituent, constituents
from handbook_builder.pages.items.left import Left, left_of
from handbook_builder.pages.items.letters import AskedRow, asked_of
from handbook_builder.pages.items.supplied import SupplierRow, suppliers_of
from handbook_builder.pages.items.uses import Lot, Use, lots_of, uses_of
from handbook_builder.pages.page import Page
from handbook_builder.reading.kinds.items import (
    Certificate,
    Colorant,
    Fragrance,
    Item,
    LeadFree,
    SafetySheet,
    Wax,
    Wick,
)
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.studio import counting, since_of, spec_as_of

KINDS: Final = tuple(folder for folder in ITEM_FOLDERS if folder != "vessels")


D = TypeVar("D", LeadFree, Certificate, SafetySheet)


@dataclass(frozen=True, slots=True)
class WaxLimits:
    """What is known of a wax."""

    kind: str
    max_load: str
    cure: str
    density: str
    liquid_density: str | None
    melt_point: str | None
    heat_to: str | None
    add_at: str | None
    pour_at: str | None
    flash_point: str | None


@dataclass(frozen=True, slots=True)
class WickLimits:
    """What is known of a wick."""

    series: str
    size: str
    step: int
    core: str
    lead_free: LeadFree | None
    smaller: Link | None
    larger: Link | None


@dataclass(frozen=True, slots=True)
class OilLimits:
    """What is known of a fragrance oil."""

    max_use: str | None
    density: str
    flash_point: str | None
    certificate: Certificate | None
    safety_sheet: SafetySheet | None
    components: tuple[Constituent, ...]
    sheet_lists: int | None


@dataclass(frozen=True, slots=True)
class DyeLimits:
    """What is known of a colorant."""

    form: str
    density: str | None
    components: tuple[Constituent, ...]
    sheet_lists: int | None


@dataclass(frozen=True, slots=True)
class FormOnly:
    """What is known of a piece of packaging."""

    form: str
    density: str | None


Limits = WaxLimits | WickLimits | OilLimits | DyeLimits | FormOnly


@dataclass(frozen=True, slots=True)
class MaterialPage:
    """What the page of one material shows."""

    id: str
    folder: str
    kind: str
    limits: Limits
    spec: int
    spec_since: date | None
    uses: tuple[Use, ...]
    lots: tuple[Lot, ...]
    left: Left | None
    asked: tuple[AskedRow, ...]
    notes: str
    more: Beside | None
    own_tests: str


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One material in the index."""

    link: Link
    limits: Limits
    used_in: int
    last_lot: Lot | None


@dataclass(frozen=True, slots=True)
class MaterialsPage:
    """What the index of materials shows, kind by kind.

    `counts` are how many, of what, and with what tone: what of all this wants an eye.
    """

    lead: str
    counts: tuple[tuple[int, str, str], ...]
    waxes: tuple[MaterialRow, ...]
    wicks: tuple[MaterialRow, ...]
    fragrances: tuple[MaterialRow, ...]
    colorants: tuple[MaterialRow, ...]
    packaging: tuple[MaterialRow, ...]
    suppliers: tuple[SupplierRow, ...]
    own_tests: str


def _items(desk: Desk, folder: str) -> Mapping[str, Item]:
    found: Mapping[str, Item] = getattr(desk.studio, folder)
    return found


def materials_page(desk: Desk) -> Page:
    """Return the index of all materials."""
    rows = {folder: _rows(desk, folder) for folder in KINDS}
    lead, own = desk.phrase("leads.materials"), desk.phrase("own_tests")
    content = MaterialsPage(
        lead=lead, own_tests=own, counts=_counts(desk, rows), suppliers=suppliers_of(desk), **rows
    )
    return Page("materials/index", desk.phrase("titles.materials"), "materials", content, 1.2)


def _counts(
    desk: Desk, rows: Mapping[str, tuple[MaterialRow, ...]]
) -> tuple[tuple[int, str, str], ...]:
    """Return how many newest lots are suspended, and how many oils lack a paper."""
    held = sum(bool(row.last_lot and row.last_lot.word) for some in rows.values() for row in some)
    oils = [row.limits for row in rows["fragrances"] if isinstance(row.limits, OilLimits)]
    told = (
        (held, "lot_suspended" if held == 1 else "lots_suspended", "bad"),
        (sum(oil.safety_sheet is None for oil in oils), "no_sheet", "warn"),
        (sum(oil.certificate is None for oil in oils), "no_certificate", "warn"),
    )
    return tuple(
        (count, desk.phrase(f"indexes.{name}"), tone if count else "none")
        for count, name, tone in told
    )


def _rows(desk: Desk, folder: str) -> tuple[MaterialRow, ...]:
    return tuple(_row(desk, folder, ident) for ident in sorted(_items(desk, folder)))


def _row(desk: Desk, folder: str, ident: str) -> MaterialRow:
    lots = lots_of(desk, Ref.to(folder, ident))
    return MaterialRow(
        link=item_link(folder, ident),
        limits=_limits(desk, _items(desk, folder)[ident]),
        used_in=len(uses_of(desk, Ref.to(folder, ident))),
        last_lot=lots[0] if lots else None,
    )


def page_of_material(desk: Desk, folder: str, ident: str) -> Page:
    """Return the page of one material; the search finds it by its lots as well."""
    item = _items(desk, folder)[ident]
    lots = lots_of(desk, Ref.to(folder, ident))
    content = MaterialPage(
        id=ident,
        folder=folder,
        kind=desk.phrase(f"kinds.{folder}"),
        limits=_limits(desk, item),
        spec=spec_as_of(item, desk.day),
        spec_since=since_of(item, desk.day),
        uses=uses_of(desk, Ref.to(folder, ident)),
        lots=lots,
        left=left_of(desk, Ref.to(folder, ident)),
        asked=asked_of(desk, Ref.to(folder, ident)),
        notes=item.source.body,
        more=beside_of(desk, item.source),
        own_tests=desk.phrase("own_tests"),
    )
    named = (ident, *dict.fromkeys(lot.lot for lot in lots if lot.lot))
    return Page(f"{folder}/{ident}", name_of(ident), folder, content, 1.5, named)


def _limits(desk: Desk, item: Item) -> Limits:
    if isinstance(item, Wax):
        return _wax(desk, item)
    if isinstance(item, Wick):
        return _wick(desk, item)
    if isinstance(item, Fragrance):
        return _oil(desk, item)
    if isinstance(item, Colorant):
        return _dye(desk, item)
    return FormOnly(getattr(item, "form", ""), None)


def _dye(desk: Desk, dye: Colorant) -> DyeLimits:
    return DyeLimits(
        form=dye.form,
        density=desk.maybe(dye.density_g_per_ml, "g_per_ml"),
        components=constituents(desk, dye),
        sheet_lists=dye.sheet_lists,
    )


def _wax(desk: Desk, wax: Wax) -> WaxLimits:
    show, liquid = desk.words.quantity, wax.liquid_density
    molten = liquid and f"{show(liquid.density_g_per_ml, 'g_per_ml')}, {show(liquid.at_c, 'c')}"
    return WaxLimits(
        kind=wax.kind,
        max_load=desk.words.percent(wax.max_load),
        cure=show(wax.cure_days, "days"),
        density=show(wax.density_g_per_ml, "g_per_ml"),
        liquid_density=molten or None,
        melt_point=desk.maybe(wax.melt_point_c, "c"),
        heat_to=desk.maybe(wax.heat_to_c, "c"),
        add_at=desk.maybe(wax.add_at_c, "c"),
        pour_at=desk.maybe(wax.pour_at_c, "c"),
        flash_point=desk.maybe(wax.flash_point_c, "c"),
    )


def _wick(desk: Desk, wick: Wick) -> WickLimits:
    series = sorted(
        (each_wick for each_wick in desk.studio.wicks.values() if each_wick.series == wick.series),
        key=lambda one: one.step,
    )
    at = [one.source.id for one in series].index(wick.source.id)
    links = [item_link("wicks", one.source.id) for one in series]
    known = _newest(counting(wick, wick.lead_free, desk.day))
    return WickLimits(
        series=wick.series,
        size=wick.size,
        step=wick.step,
        core=wick.core,
        lead_free=known,
        smaller=links[at - 1] if at > 0 else None,
        larger=links[at + 1] if at + 1 < len(links) else None,
    )


def _newest(entries: tuple[D, ...]) -> D | None:
    """Return the newest of the papers that count, or None without any."""
    return max(entries, key=lambda one: one.on, default=None)


def _oil(desk: Desk, oil: Fragrance) -> OilLimits:
    return OilLimits(
        max_use=None if oil.max_use is None else desk.words.percent(oil.max_use),
        density=desk.words.quantity(oil.density_g_per_ml, "g_per_ml"),
        flash_point=desk.maybe(oil.flash_point_c, "c"),
        certificate=_newest(counting(oil, oil.certificate, desk.day)),
        safety_sheet=_newest(counting(oil, oil.safety_sheet, desk.day)),
        components=constituents(desk, oil),
        sheet_lists=oil.sheet_lists,
    )
