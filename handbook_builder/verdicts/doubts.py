"""What a test candle's record leaves in doubt: how wide, how heavy, how steady, how many cycles."""

from collections.abc import Iterator
from typing import Final

from handbook_builder.reading.kinds.making import UNTRIED, made_of
from handbook_builder.studio.studio import Studio, spec_as_of
from handbook_builder.verdicts.balance import poured_g
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity
from handbook_builder.verdicts.seen import Seen

# Vessels of one make differ by some hundredths, and a wick, its foot and its glue weigh little:
# common practice, no published source.
DIAMETER_SLACK: Final = 0.02
EMPTY_SLACK: Final = 0.10
WICK_G: Final = 5.0
# A scale whose smallest step is more than a hundredth of the fill explains away a cycle.
COARSEST: Final = 0.01


def begun_in_doubt(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield what the record should show before first light, and does not."""
    yield from _diameter(studio, seen)
    if seen.burn.made.tilt in {None, UNTRIED} and "tilt" in studio.protocol.needs:
        yield Reason("tilt_missing", seen.burn.source.place("made"))
    yield from _specs(studio, seen)
    yield from _scale(seen)
    yield from first_mass(studio, seen)


def _specs(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield each item that its maker had changed by then, and the record does not say which it was.

    The day alone would make a former candle of a present one as soon as a date is mistyped.
    """
    made = seen.burn.made
    for item in made_of(made):
        spec = spec_as_of(studio.item(item), made.on)
        if spec > 1 and item not in made.spec:
            details = {"item": item, "spec": spec}
            yield Reason("spec_unsaid", seen.burn.source.place("made"), details)


def _scale(seen: Seen) -> Iterator[Reason]:
    """Yield when the scale reads too coarsely for what was poured."""
    scale_g, wax_g = seen.burn.scale_g, poured_g(seen.burn.made)
    if exceeds(scale_g, COARSEST * wax_g):
        details = {"scale": quantity(scale_g, "g"), "most": quantity(COARSEST * wax_g, "g")}
        yield Reason("scale_too_coarse", seen.burn.source.place("scale"), details)


def _diameter(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when the width that the candle is judged by is unsaid, or is not its vessel's."""
    made, source = seen.burn.made, seen.burn.source
    vessel = studio.vessels[made.vessel]
    its_mm, measured_mm = vessel.inside_diameter_mm, made.inside_diameter_mm
    if measured_mm is None:
        details = {"vessel": made.vessel, "inside": quantity(its_mm, "mm")}
        yield Reason("diameter_unsaid", source.place("made"), details)
    elif exceeds(abs(measured_mm - its_mm), DIAMETER_SLACK * its_mm):
        details = {
            "vessel": made.vessel,
            "inside": quantity(its_mm, "mm"),
            "measured": quantity(measured_mm, "mm"),
            "where": str(vessel.source.place("inside_diameter")),
        }
        yield Reason("diameter_disagrees", source.place("made.inside_diameter"), details)


def first_mass(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when the first weight is not that of this vessel with this wax in it."""
    empty_g = studio.vessels[seen.burn.made.vessel].empty_mass_g
    first_g = seen.cycles[0].cycle.before_g if seen.cycles else None
    if empty_g is None or first_g is None:
        return
    due_g = empty_g + poured_g(seen.burn.made)
    if exceeds(abs(first_g - due_g), EMPTY_SLACK * empty_g + WICK_G):
        place = seen.burn.source.place("cycles[0].before")
        yield Reason(
            "first_mass_off", place, {"before": quantity(first_g, "g"), "due": quantity(due_g, "g")}
        )


def ended_in_doubt(studio: Studio, seen: Seen) -> Iterator[Reason]:
    """Yield when the number of cycles is unsaid, or is not what stands in the record."""
    if seen.end is None:
        return
    place, stated, found = seen.burn.source.place("end"), seen.end.cycles, len(seen.cycles)
    if stated is None and "cycles" in studio.protocol.needs:
        yield Reason("cycle_count_missing", place, {"found": found})
    elif stated is not None and stated != found:
        place = seen.burn.source.place("end.cycles")
        yield Reason("cycle_count", place, {"stated": stated, "found": found})
