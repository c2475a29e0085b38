"""Sizes that cannot be: a slip of a unit or a decimal point, told before anything is poured."""

import math
from collections.abc import Iterator
from typing import Final

from handbook_builder.problems import Problem, problem
from handbook_builder.reading.kinds.items import Vessel
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.balance import poured_g
from handbook_builder.verdicts.fills import volume_ml
from handbook_builder.verdicts.readings import exceeds

# What a container for candles may be; a bulging wall and a flaring mouth are a vessel's own to
# state (`bulge`). Common practice, no published source.
NARROWEST_MM: Final = 10.0
WIDEST_MM: Final = 500.0
THINNEST_MM: Final = 0.1
THICKEST_SHARE: Final = 0.25
WIDEST_MOUTH: Final = 1.25
MEASURING_SLACK: Final = 0.05


def impossible_sizes(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each size that no vessel has, and each candle lighter than its wax."""
    for vessel in studio.vessels.values():
        yield from _width(vessel)
        yield from _wall(vessel)
        yield from _volumes(vessel)
    for burn in studio.burns.values():
        first_g = burn.cycles[0].before_g if burn.cycles else None
        wax_g = poured_g(burn.made)
        if first_g is not None and exceeds(wax_g, first_g):
            details = {"first": f"{first_g:.1f}", "wax": f"{wax_g:.1f}"}
            yield problem(burn.source.place("cycles[0].before"), "lighter_than_wax", details)


def _width(vessel: Vessel) -> Iterator[Problem]:
    width = vessel.inside_diameter_mm
    if not NARROWEST_MM <= width <= WIDEST_MM:
        details = {"width": f"{width:g}", "least": f"{NARROWEST_MM:g}", "most": f"{WIDEST_MM:g}"}
        yield problem(vessel.source.place("inside_diameter"), "no_such_width", details)
    most = (WIDEST_MOUTH + vessel.bulge) * width
    if vessel.opening_mm is not None and exceeds(vessel.opening_mm, most):
        details = {"opening": f"{vessel.opening_mm:g}", "width": f"{width:g}"}
        yield problem(vessel.source.place("opening"), "mouth_too_wide", details)


def _wall(vessel: Vessel) -> Iterator[Problem]:
    wall, most = vessel.wall_mm, THICKEST_SHARE * vessel.inside_diameter_mm
    if wall is not None and not THINNEST_MM <= wall <= most:
        details = {"wall": f"{wall:g}", "least": f"{THINNEST_MM:g}", "most": f"{most:g}"}
        yield problem(vessel.source.place("wall"), "no_such_wall", details)


def _volumes(vessel: Vessel) -> Iterator[Problem]:
    """Yield each volume beyond what the vessel's width and height can hold."""
    height = vessel.inside_height_mm
    if height is None:
        return
    holds_ml = math.pi * vessel.inside_diameter_mm**2 * height / 4 / 1000
    for key, form in (("fill", vessel.fill), ("brim", vessel.brim)):
        found_ml = 0.0 if form is None else volume_ml(vessel, form)
        if exceeds(found_ml, (1 + MEASURING_SLACK + vessel.bulge) * holds_ml):
            details = {"key": key, "ml": f"{found_ml:.1f}", "holds": f"{holds_ml:.1f}"}
            yield problem(vessel.source.place(key), "more_than_it_holds", details)
