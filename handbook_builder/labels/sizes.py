"""The smallest sizes that a label's parts may have, each with its source and how sure it is."""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt
from typing import Final

_MM_PER_INCH: Final = 25.4


class Sure(StrEnum):
    """How sure a value is: READ in its own text, SECOND_HAND, or MEMORY, which is unconfirmed."""

    READ = "read"
    SECOND_HAND = "second-hand"
    MEMORY = "from memory, unconfirmed"


class Measure(StrEnum):
    """What of a text or a drawing is measured, upright and in millimetres."""

    X_HEIGHT = "x-height"
    CAPITAL = "capital"
    FIGURE = "figure"
    HEIGHT = "height"
    SIDE = "side"


@dataclass(frozen=True, slots=True)
class Minimum:
    """A least size of millimetres, of what, and who asks for it."""

    measure: Measure
    mm: float
    source: str
    sure: Sure


# BAuA calls 1.2 mm the lower readable limit. Two consultants say the same of packages up to 0.5 l
# in Regulation (EU) 2024/2865, and 1.4 mm above, which is not yet due: see `letters`.
LETTERS: Final = Minimum(Measure.X_HEIGHT, 1.2, "BAuA, example of a CLP label", Sure.SECOND_HAND)
FIRE_SIGN: Final = Minimum(Measure.HEIGHT, 5.0, "EN 15494:2019, 4.3", Sure.SECOND_HAND)
# "Dimensions are of the red frame's side": Table 1.3 for packages up to 3 l.
PICTOGRAM: Final = Minimum(Measure.SIDE, 10.0, "CLP Annex I 1.2.1.4, Table 1.3", Sure.READ)
PICTOGRAM_PREFERRED_MM: Final = 16.0  # "if possible", the same table
LABEL_PREFERRED_MM: Final = (52.0, 74.0)  # "if possible", the same table
_SHARE_OF_LABEL: Final = 1 / 15  # of the minimum area of the label, CLP Annex I 1.2.1.4

_CLP_2024: Final = "Regulation (EU) 2024/2865, as two consultants tell it"
# Capacity up to and including so many litres, and the least x-height.
_LETTERS_BY_LITRES: Final = ((0.5, 1.2), (3.0, 1.4), (50.0, 1.8))
_LETTERS_ABOVE: Final = 2.0
# The distance between two lines, of the size of the font. The same source; it is not said whether
# of the x-height or of the whole font, so the larger is taken.
LEADING: Final = 1.2

_EU_QUANTITY: Final = "Directive 76/211/EEC Annex I 3.1, as the USDA tells it"
# Nominal grams up to and including, and the least height of the figures.
_FIGURES_BY_GRAMS: Final = ((50.0, 2.0), (200.0, 3.0), (1000.0, 4.0))
_FIGURES_ABOVE: Final = 6.0

_US_QUANTITY: Final = "16 CFR 500.21(b)"
# Square inches of the principal display panel up to and including, and the least height in inches.
_TYPE_BY_AREA: Final = ((5.0, 1 / 16), (25.0, 1 / 8), (100.0, 3 / 16), (400.0, 1 / 4))
_TYPE_ABOVE: Final = 1 / 2


def _step(value: float, steps: tuple[tuple[float, float], ...], above: float) -> float:
    return next((height for limit, height in steps if value <= limit), above)


def letters_2024(litres: float) -> Minimum:
    """Return the least x-height of hazard information on a package of that capacity."""
    height = _step(litres, _LETTERS_BY_LITRES, _LETTERS_ABOVE)
    return Minimum(Measure.X_HEIGHT, height, _CLP_2024, Sure.SECOND_HAND)


def net_weight_eu(grams: float) -> Minimum:
    """Return the least height of the figures of a net weight in the EU and in Great Britain."""
    height = _step(grams, _FIGURES_BY_GRAMS, _FIGURES_ABOVE)
    return Minimum(Measure.FIGURE, height, _EU_QUANTITY, Sure.SECOND_HAND)


def net_weight_us(display_mm2: float, *, is_mixed_case: bool) -> Minimum:
    """Return the least type of a net weight in the USA, by the area of the display panel.

    That area is of the package's whole side, or 40 % of height times circumference of a jar: it
    is not the label's. In capitals and small letters the small ones are measured. The section was
    read; its figures are from memory, unconfirmed.
    """
    inches = _step(display_mm2 / _MM_PER_INCH**2, _TYPE_BY_AREA, _TYPE_ABOVE)
    measure = Measure.X_HEIGHT if is_mixed_case else Measure.CAPITAL
    return Minimum(measure, inches * _MM_PER_INCH, _US_QUANTITY, Sure.MEMORY)


def pictogram_side_mm(panel_mm2: float) -> float:
    """Return the least side of a pictogram's frame on a panel of that area.

    It is 10 mm, and one fifteenth of the label's minimum area: of 52 x 74 mm, or of the panel
    where that is smaller. One square centimetre, which is asked for too, is then always reached.
    """
    area = min(panel_mm2, LABEL_PREFERRED_MM[0] * LABEL_PREFERRED_MM[1])
    return max(PICTOGRAM.mm, sqrt(area * _SHARE_OF_LABEL))
