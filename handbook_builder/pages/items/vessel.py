"""One page a vessel: whether it can take a flame, what it holds, what was proven in it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.conversion import convert
from handbook_builder.figures.burn import flame_power_w
from handbook_builder.figures.fill import us_fluid_ounces
from handbook_builder.pages import workings
from handbook_builder.pages.beside import Beside, beside_of
from handbook_builder.pages.desk import Desk, Said, name_of
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.items.left import Left, left_of
from handbook_builder.pages.items.letters import AskedRow, asked_of
from handbook_builder.pages.items.uses import Lot, Use, lots_of, products_with, use_of
from handbook_builder.pages.page import Page, Stands
from handbook_builder.pages.tests.lines import CandleLine, lines_of
from handbook_builder.pages.workings import Working
from handbook_builder.reading.kinds.items import HeatEvidence, Vessel
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import since_of, spec_as_of, spec_of
from handbook_builder.verdicts.approval import Product, Status
from handbook_builder.verdicts.screening import Screened, Screening
from handbook_builder.words import Word, Words


@dataclass(frozen=True, slots=True)
class Evidence:
    """One line of heat evidence; `clears` says that it is enough."""

    kind: str
    on: date
    by: str
    difference: str | None
    result: str | None
    spec: int
    clears: bool


@dataclass(frozen=True, slots=True)
class Dimensions:
    """What was measured of the vessel; None was not."""

    inside_diameter: str
    opening: str | None
    inside_height: str | None
    wall: str | None
    wall_note: str
    empty_mass: str | None
    label_panel: str | None


@dataclass(frozen=True, slots=True)
class Holds:
    """What the vessel holds; `wax` is a range over the studio's waxes."""

    fill: str
    brim: str | None
    wax: str | None
    trap: str | None
    working: Working


@dataclass(frozen=True, slots=True)
class VesselPage:
    """What the page of a vessel shows."""

    id: str
    word: Word
    material: str
    supplier: str | None
    is_practice: bool
    drinkware: bool | None
    porous: bool | None
    sealed: bool | None
    leak_tests: tuple[str, ...]
    spec: int
    spec_since: date | None
    reasons: tuple[Said, ...]
    evidence: tuple[Evidence, ...]
    question: tuple[str, ...]
    question_opening: str
    question_closing: str
    dimensions: Dimensions
    holds: Holds
    cautions: tuple[str, ...]
    cautions_source: str
    proven: tuple[Use, ...]
    disproven: tuple[Use, ...]
    open: tuple[Use, ...]
    flame: str | None
    practice: tuple[CandleLine, ...]
    lots: tuple[Lot, ...]
    left: Left | None
    asked: tuple[AskedRow, ...]
    notes: str
    more: Beside | None
    own_tests: str


def page_of_vessel(desk: Desk, ident: str) -> Page:
    """Return the page of one vessel."""
    content = _content(desk, desk.judged.vessels[ident])
    stands = Stands(content.word)
    return Page(f"vessels/{ident}", name_of(ident), "vessel", content, 2.0, (ident,), stands=stands)


def _content(desk: Desk, screened: Screened) -> VesselPage:
    vessel = screened.vessel
    ident = vessel.source.id
    products = products_with(desk, Ref.to("vessels", ident))
    proven, disproven = proven_in(products), disproven_in(products)
    others = [product for product in products if product not in (*proven, *disproven)]
    is_practice = vessel.use == "practice"
    return VesselPage(
        id=ident,
        word=desk.words.screening(screened.screening),
        material=vessel.material,
        supplier=None if desk.edition is Edition.FLOOR else name_of(vessel.supplier),
        is_practice=is_practice,
        drinkware=vessel.drinkware,
        porous=vessel.porous,
        sealed=vessel.sealed,
        leak_tests=tuple(_leak_tests(desk, vessel)),
        spec=spec_as_of(vessel, desk.day),
        spec_since=_since(desk, vessel),
        reasons=tuple(desk.said(reason) for reason in screened.reasons),
        evidence=tuple(_evidence(desk, screened, photo) for photo in _on_file(desk, vessel)),
        question=_questions(desk, screened),
        question_opening=_ask(desk, "opening", vessel=name_of(ident)),
        question_closing=_ask(desk, "closing"),
        dimensions=_dimensions(desk, vessel),
        holds=holds(desk, vessel),
        cautions=tuple(desk.words.phrases["materials"][vessel.material]),
        cautions_source=desk.phrase("cautions_source"),
        proven=() if is_practice else tuple(use_of(desk, one) for one in proven),
        disproven=() if is_practice else tuple(use_of(desk, one) for one in disproven),
        open=() if is_practice else tuple(use_of(desk, other) for other in others),
        flame=None if is_practice else _flame(desk, proven),
        practice=_practice(desk, ident) if is_practice else (),
        lots=lots_of(desk, Ref.to("vessels", ident)),
        left=left_of(desk, Ref.to("vessels", ident)),
        asked=asked_of(desk, Ref.to("vessels", ident)),
        notes=vessel.source.body,
        more=beside_of(desk, vessel.source),
        own_tests=desk.phrase("own_tests"),
    )


def proven_in(products: tuple[Product, ...]) -> tuple[Product, ...]:
    """Return the products that are approved."""
    return tuple(product for product in products if product.status is Status.APPROVED)


def disproven_in(products: tuple[Product, ...]) -> tuple[Product, ...]:
    """Return the products of which a test candle failed."""
    return tuple(product for product in products if product.evidence.failed)


def _since(desk: Desk, vessel: Vessel) -> date | None:
    """Return since when the present specification is sold, when that is on record."""
    return since_of(vessel, desk.day)


def _leak_tests(desk: Desk, vessel: Vessel) -> Iterator[str]:
    """Yield each leak test on file, and of which specification one was that is former."""
    now = spec_as_of(vessel, desk.day)
    for test in vessel.leak_test:
        hours, spec = desk.words.quantity(test.hours_h, "h"), spec_of(vessel, test)
        if test.on <= desk.day:
            told = desk.phrase(f"leak_tests.{test.result}", hours=hours, on=test.on)
            yield told if spec == now else desk.phrase("of_former", told=told, spec=spec)


def _on_file(desk: Desk, vessel: Vessel) -> list[HeatEvidence]:
    return [evidence for evidence in vessel.heat_evidence if evidence.on <= desk.day]


def _evidence(desk: Desk, screened: Screened, one: HeatEvidence) -> Evidence:
    return Evidence(
        kind=desk.phrase(f"evidence_kinds.{one.kind}"),
        on=one.on,
        by=one.by,
        difference=desk.maybe(one.difference_k, "k"),
        result=one.result,
        spec=spec_of(screened.vessel, one),
        clears=one in screened.cleared_by,
    )


def _ask(desk: Desk, key: str, **details: object) -> str:
    return str(desk.words.phrases["questions"][key]).format_map(details)


def _questions(desk: Desk, screened: Screened) -> tuple[str, ...]:
    """Return what to ask the maker, while that is due: a question for each thing unknown."""
    if screened.screening is not Screening.ASK_FIRST:
        return ()
    items = desk.words.phrases["questions"]["items"]
    protocol = desk.studio.protocol
    details = {
        "cycle_h": desk.words.quantity(protocol.cycle_h, "h"),
        "shock_k": desk.maybe(protocol.thermal_shock_k, "k") or desk.phrase("not_recorded"),
    }
    codes = dict.fromkeys(reason.code for reason in screened.unknown)
    return tuple(str(items[code]).format_map(details) for code in codes if code in items)


def _dimensions(desk: Desk, vessel: Vessel) -> Dimensions:
    return Dimensions(
        inside_diameter=desk.words.quantity(vessel.inside_diameter_mm, "mm"),
        opening=desk.maybe(vessel.opening_mm, "mm"),
        inside_height=desk.maybe(vessel.inside_height_mm, "mm"),
        wall=desk.maybe(vessel.wall_mm, "mm"),
        wall_note=_wall_note(desk, vessel),
        empty_mass=None if vessel.empty_mass_g is None else desk.mass(vessel.empty_mass_g),
        label_panel=label_panel(desk, vessel, desk.words),
    )


def _wall_note(desk: Desk, vessel: Vessel) -> str:
    """Return how thick a wall must be, or that nobody asks for it."""
    least_mm = desk.studio.protocol.min_wall_of(vessel.material)
    if least_mm is None:
        return desk.phrase("no_least_wall", material=vessel.material)
    return desk.phrase("least_wall", wall=desk.words.quantity(least_mm, "mm"))


def label_panel(desk: Desk, vessel: Vessel, words: Words) -> str | None:
    """Return the size of the part that takes a label, or None when it was not measured."""
    panel = vessel.label_panel
    if panel is None:
        return None
    width, height = (words.quantity(side_mm, "mm") for side_mm in (panel.width_mm, panel.height_mm))
    return desk.phrase("label_space", width=width, height=height)


def wax_range_g(desk: Desk, vessel: Vessel) -> tuple[float, float] | None:
    """Return the least and the most wax, in grams, that the vessel holds of any wax on file.

    Filled hot where the density of the molten wax is known, else as the solid.
    """
    volume = desk.account.vessels[vessel.source.id].fill_ml
    masses = [
        volume * (wax.liquid_density or wax).density_g_per_ml for wax in desk.studio.waxes.values()
    ]
    return (min(masses), max(masses)) if masses else None


def wax_held(desk: Desk, vessel: Vessel, words: Words) -> str | None:
    """Return about how much wax the vessel holds, as a range in the units of `words`."""
    found = wax_range_g(desk, vessel)
    if found is None:
        return None
    least_g, most_g = (f"{one:.0f}" for one in found)
    least_oz, most_oz = (f"{convert(one, 'gram', 'ounce'):.1f}" for one in found)
    return desk.phrase(
        f"ranges.{words.units}", least_g=least_g, most_g=most_g, least_oz=least_oz, most_oz=most_oz
    )


def holds(desk: Desk, vessel: Vessel) -> Holds:
    """Return what the vessel holds, with the trap of the two ounces made visible."""
    figures = desk.account.vessels[vessel.source.id]
    return Holds(
        fill=desk.volume(figures.fill_ml),
        brim=None if figures.brim_ml is None else desk.volume(figures.brim_ml),
        wax=wax_held(desk, vessel, desk.words),
        trap=_trap(desk, vessel),
        working=workings.of_volume(desk, vessel),
    )


def _trap(desk: Desk, vessel: Vessel) -> str | None:
    found = wax_range_g(desk, vessel)
    if found is None:
        return None
    figures = desk.account.vessels[vessel.source.id]
    wax_oz, fill_floz = f"{convert(found[1], 'gram', 'ounce'):.1f}", _floz(figures.fill_ml)
    if figures.brim_ml is None:
        return desk.phrase("ounces_fill", fill_floz=fill_floz, wax_oz=wax_oz)
    return desk.phrase("ounces", brim_floz=_floz(figures.brim_ml), wax_oz=wax_oz)


def _floz(volume_ml: float) -> str:
    """Return fluid ounces as a catalogue writes them: 9, not 9.0."""
    return f"{us_fluid_ounces(volume_ml):.1f}".removesuffix(".0")


def _flame(desk: Desk, proven: tuple[Product, ...]) -> str | None:
    """Return the heat of the fastest flame that was proven in the vessel, in words."""
    rates = [desk.account.products[product.recipe.source.id].rate_g_per_h for product in proven]
    fastest = max((rate for rate in rates if rate is not None), default=None)
    if fastest is None:
        return None
    watts = f"{round(flame_power_w(fastest), -1):.0f}"
    return desk.phrase("flame_power", rate=f"{fastest:.2f}", watts=watts)


def _practice(desk: Desk, ident: str) -> tuple[CandleLine, ...]:
    """Return the test candles burned in a practice vessel."""
    return lines_of(
        desk,
        (
            burn.candle
            for burn in desk.judged.burns.values()
            if burn.candle.seen.burn.made.vessel == ident
        ),
    )
