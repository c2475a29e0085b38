"""What a candle is made of: vessels, waxes, wicks, fragrances, colorants, packaging."""

from datetime import date
from typing import Final

from handbook_builder.reading.fields import (
    BAD,
    Bad,
    Report,
    choice,
    count,
    day,
    difference_k,
    duration_days,
    ident,
    length_mm,
    or_bare,
    share,
    some_density,
    some_duration_h,
    some_length_mm,
    some_loss,
    some_mass_g,
    some_volume_ml,
    temperature_c,
    text,
    water_temperature_c,
    yes_no,
)
from handbook_builder.reading.forms import Keys, takes
from handbook_builder.reading.kinds.asked import Asked, Quote
from handbook_builder.reading.kinds.components import Component, component
from handbook_builder.reading.lists import many, one_or_many
from handbook_builder.reading.nodes import Map, Node
from handbook_builder.reading.shape import Source, nested, optional, read_shape, required, shape

MATERIALS: Final = (
    "glass", "ceramic", "concrete", "metal", "stone", "wood", "shell", "plastic", "other",
)  # fmt: skip
PLAIN_CORES: Final = ("none", "cotton", "paper", "wood", "hemp")
METAL_CORES: Final = ("zinc", "tin", "copper", "steel", "metal")


@shape
class Fill:
    """How much a vessel holds, in one of three forms."""

    water_g: float | None = optional(some_mass_g)
    at_c: float | None = optional(water_temperature_c)
    volume_ml: float | None = optional(some_volume_ml)
    headspace_mm: float | None = optional(length_mm)

    @property
    def water(self) -> tuple[float, float] | None:
        """Return the mass of water and its temperature, when it was weighed with water."""
        if self.water_g is None or self.at_c is None:
            return None
        return (self.water_g, self.at_c)


_FILLS: Final = (("water", "at"), ("volume",), ("headspace",))


@takes(Keys(Fill, _FILLS, closed=True))
def _fill(node: Node, report: Report, key: str) -> Fill | Bad:
    found = read_shape(Fill, node, report, key)
    if isinstance(found, Bad):
        return BAD
    given = {key.text for key, _ in node.entries} if isinstance(node, Map) else set()
    if given in map(set, _FILLS):
        return found
    return report.bad(
        node, "one_form", found=", ".join(sorted(given)) or "nothing", key=key,
        known="{water, at}, {volume} or {headspace}",
    )  # fmt: skip


@shape
class HeatEvidence:
    """Why a vessel is believed to stand a flame.

    `spec` says which specification of the vessel it speaks of, when its date does not.
    """

    kind: str = required(
        choice("sold_for_candles", "makers_word", "thermal_shock_test"),
        "sold_for_candles, makers_word or thermal_shock_test",
    )
    on: date = required(day, "a date")
    by: str = required(text, "who said or tested it")
    difference_k: float | None = optional(difference_k)
    result: str | None = optional(choice("passed", "failed"))
    spec: int | None = optional(count(1))


@shape
class LeakTest:
    """A vessel stood filled for some hours."""

    on: date = required(day, "a date")
    hours_h: float = required(or_bare(some_duration_h), "a duration such as 24 h")
    result: str = required(choice("dry", "wet"), "dry or wet")
    spec: int | None = optional(count(1))


@shape
class LabelPanel:
    """The flat part of a vessel that takes a label."""

    width_mm: float = required(some_length_mm, "a length")
    height_mm: float = required(some_length_mm, "a length")


@shape
class Vessel:
    """What holds the candle."""

    source: Source
    material: str = required(choice(*MATERIALS), f"one of {', '.join(MATERIALS)}")
    supplier: str = required(ident, "the id of a supplier")
    use: str = required(choice("product", "practice"), "product or practice")
    inside_diameter_mm: float = required(some_length_mm, "a length such as 72 mm")
    opening_mm: float | None = optional(some_length_mm)
    inside_height_mm: float | None = optional(some_length_mm)
    wall_mm: float | None = optional(some_length_mm)
    empty_mass_g: float | None = optional(some_mass_g)
    fill: Fill = required(_fill, "{water, at}, {volume} or {headspace}")
    brim: Fill | None = optional(_fill)
    heat_evidence: tuple[HeatEvidence, ...] = optional(many(nested(HeatEvidence)), ())
    drinkware: bool | None = optional(yes_no)
    porous: bool | None = optional(yes_no)
    sealed: bool | None = optional(yes_no)
    leak_test: tuple[LeakTest, ...] = optional(one_or_many(nested(LeakTest)), ())
    bulge: float = optional(share, 0.0)
    label_panel: LabelPanel | None = optional(nested(LabelPanel))
    breakage: float | None = optional(some_loss)
    quote: Quote | None = optional(nested(Quote))
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


@shape
class LiquidDensity:
    """The density of a molten wax, and the temperature it was measured at."""

    density_g_per_ml: float = required(some_density, "a density such as 0.86 g/mL")
    at_c: float = required(temperature_c, "a temperature")


@shape
class Wax:
    """A wax; `density_g_per_ml` is of the solid at 20 °C, `max_load` of oil on the wax's mass."""

    source: Source
    kind: str = required(text, "what sort of wax it is")
    density_g_per_ml: float = required(some_density, "a density such as 0.90 g/mL")
    liquid_density: LiquidDensity | None = optional(nested(LiquidDensity))
    max_load: float = required(share, "a share such as 10 %")
    melt_point_c: float | None = optional(temperature_c)
    cure_days: float = required(duration_days, "a duration such as 14 days")
    heat_to_c: float | None = optional(temperature_c)
    add_at_c: float | None = optional(temperature_c)
    pour_at_c: float | None = optional(temperature_c)
    flash_point_c: float | None = optional(temperature_c)
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


@shape
class LeadFree:
    """The word that a metal core holds no lead."""

    on: date = required(day, "a date")
    by: str = required(text, "who gave the word")
    spec: int | None = optional(count(1))


@shape
class Fits:
    """The widths of vessels that a wick is made for, as its maker states them."""

    at_least_mm: float = required(some_length_mm, "a width such as 60 mm")
    at_most_mm: float = required(some_length_mm, "a width such as 75 mm")


@takes(Keys(Fits))
def _fits(node: Node, report: Report, key: str) -> Fits | Bad:
    """Read a range of widths, the smaller first."""
    found = read_shape(Fits, node, report, key)
    if isinstance(found, Bad) or found.at_least_mm <= found.at_most_mm:
        return found
    widths = f"{found.at_least_mm:g} to {found.at_most_mm:g} mm"
    return report.bad(node, "range_backwards", found=widths)


@shape
class Wick:
    """One size of a series of wicks."""

    source: Source
    series: str = required(text, "the name of the series")
    size: str = required(text, "the size")
    step: int = required(count(0), "its place in the series")
    core: str = required(choice(*PLAIN_CORES, *METAL_CORES), "what the core is made of")
    lead_free: tuple[LeadFree, ...] = optional(one_or_many(nested(LeadFree)), ())
    fits: Fits | None = optional(_fits)
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


@shape
class Certificate:
    """The conformity certificate of an oil."""

    on: date = required(day, "a date")
    amendment: str | None = optional(text)
    spec: int | None = optional(count(1))


@shape
class SafetySheet:
    """The safety data sheet of an oil."""

    on: date = required(day, "a date")
    revision: str | None = optional(text)
    spec: int | None = optional(count(1))


@shape
class Fragrance:
    """A fragrance oil; `max_use` is its largest share of the finished candle.

    `sheet_lists` is how many components its safety sheet lists, which are all that matter.
    """

    source: Source
    density_g_per_ml: float = required(some_density, "a density such as 0.98 g/mL")
    flash_point_c: float | None = optional(temperature_c)
    max_use: float | None = optional(share)
    certificate: tuple[Certificate, ...] = optional(one_or_many(nested(Certificate)), ())
    safety_sheet: tuple[SafetySheet, ...] = optional(one_or_many(nested(SafetySheet)), ())
    components: tuple[Component, ...] = optional(many(component), ())
    sheet_lists: int | None = optional(count(0))
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


@shape
class Colorant:
    """A dye or pigment; `sheet_lists` is how many components its safety sheet lists."""

    source: Source
    form: str = required(text, "its form, such as flakes")
    density_g_per_ml: float | None = optional(some_density)
    components: tuple[Component, ...] = optional(many(component), ())
    sheet_lists: int | None = optional(count(0))
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


@shape
class PrintedPanel:
    """The part of a label, a box or a tag that is printed: a rectangle, or a disc."""

    width_mm: float | None = optional(some_length_mm)
    height_mm: float | None = optional(some_length_mm)
    across_mm: float | None = optional(some_length_mm)


_PANELS: Final = (("width", "height"), ("across",))


@takes(Keys(PrintedPanel, _PANELS, closed=True))
def _panel(node: Node, report: Report, key: str) -> PrintedPanel | Bad:
    found = read_shape(PrintedPanel, node, report, key)
    if isinstance(found, Bad):
        return BAD
    given = {key.text for key, _ in node.entries} if isinstance(node, Map) else set()
    if given in map(set, _PANELS):
        return found
    return report.bad(
        node, "one_form", found=", ".join(sorted(given)) or "nothing", key=key,
        known="{width, height} or {across}",
    )  # fmt: skip


@shape
class Packaging:
    """What a candle is packed and labelled with; `panel` is what of it can be printed."""

    source: Source
    form: str = required(
        choice("lid", "label", "caution_label", "box", "tag", "filler", "other"), "its form"
    )
    panel: PrintedPanel | None = optional(_panel)
    asked: tuple[Asked, ...] = optional(many(nested(Asked)), ())
    spec: int = optional(count(1), 1)
    spec_since: tuple[date, ...] = optional(one_or_many(day), ())


def cylinder_mm(vessel: Vessel, form: Fill) -> tuple[float, float, float]:
    """Return inside diameter, inside height and headspace of a straight-sided fill.

    Linking has seen to it that both are there; ValueError else.
    """
    if vessel.inside_height_mm is None or form.headspace_mm is None:
        msg = f"{vessel.source.id} has no headspace to reckon with"
        raise ValueError(msg)
    return (vessel.inside_diameter_mm, vessel.inside_height_mm, form.headspace_mm)


Item = Vessel | Wax | Wick | Fragrance | Colorant | Packaging
# What is dated and speaks of one specification of an item.
Dated = HeatEvidence | LeakTest | LeadFree | Certificate | SafetySheet
