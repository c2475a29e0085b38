"""All vessels side by side."""

from collections import Counter
from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.items.grid import Grid, grid_of
from handbook_builder.pages.items.uses import products_with
from handbook_builder.pages.items.vessel import (
    disproven_in,
    label_panel,
    proven_in,
    wax_held,
)
from handbook_builder.pages.money.keep import Keep, keep_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.tests.glance import Section, section_of_vessel
from handbook_builder.reading.refs import Ref
from handbook_builder.verdicts.screening import Screened, Screening
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class VesselRow:
    """One vessel of the comparison; None is not recorded."""

    link: Link
    word: Word
    material: str
    is_practice: bool
    fill: str
    brim: str | None
    wax: str | None
    label_panel: str | None
    proven: int
    disproven: int


@dataclass(frozen=True, slots=True)
class VesselDrawn:
    """A vessel as it is drawn beside the others: its section, and how large it is in words."""

    id: str
    link: Link
    section: Section
    size: str


@dataclass(frozen=True, slots=True)
class VesselsPage:
    """What the comparison shows."""

    lead: str
    drawn: tuple[VesselDrawn, ...]
    drawn_note: str
    rows: tuple[VesselRow, ...]
    counts: tuple[tuple[Word, int], ...]
    grid: Grid | None
    keep: Keep | None
    own_tests: str


def vessels_page(desk: Desk) -> Page:
    """Return the comparison of all vessels, by name."""
    screened = [desk.judged.vessels[vessel] for vessel in sorted(desk.studio.vessels)]
    counts = Counter(one.screening for one in screened)
    content = VesselsPage(
        lead=desk.phrase("leads.vessels"),
        drawn=tuple(drawn(desk, ident) for ident in sorted(desk.studio.vessels)),
        drawn_note=desk.phrase("glance.vessels"),
        rows=tuple(_row(desk, one) for one in screened),
        counts=tuple((desk.words.screening(word), n) for word in Screening if (n := counts[word])),
        grid=grid_of(desk),
        keep=keep_of(desk),
        own_tests=desk.phrase("own_tests"),
    )
    return Page("vessels/index", desk.phrase("titles.vessels"), "vessels", content, 1.5)


def drawn(desk: Desk, ident: str) -> VesselDrawn:
    """Return a vessel as it is drawn to scale beside others."""
    section = section_of_vessel(desk, ident)
    size = desk.phrase(
        "glance.vessel" if section.is_high else "glance.vessel_open",
        width=desk.terse.quantity(section.inside_mm, "mm"),
        height=desk.terse.quantity(section.height_mm, "mm"),
    )
    return VesselDrawn(f"vessel-{ident}", item_link("vessels", ident), section, size)


def _row(desk: Desk, screened: Screened) -> VesselRow:
    vessel = screened.vessel
    ident = vessel.source.id
    item = Ref.to("vessels", ident)
    products = products_with(desk, item)
    figures = desk.account.vessels[ident]
    is_practice = vessel.use == "practice"
    return VesselRow(
        link=item_link("vessels", ident),
        word=desk.words.screening(screened.screening),
        material=vessel.material,
        is_practice=is_practice,
        fill=desk.volume(figures.fill_ml),
        brim=None if figures.brim_ml is None else desk.volume(figures.brim_ml),
        wax=wax_held(desk, vessel, desk.terse),
        label_panel=label_panel(desk, vessel, desk.terse),
        proven=0 if is_practice else len(proven_in(products)),
        disproven=0 if is_practice else len(disproven_in(products)),
    )
