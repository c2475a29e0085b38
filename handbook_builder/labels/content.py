"""What stands on a label: plain values, in the order in which they are read."""

from dataclasses import dataclass
from enum import StrEnum

from handbook_builder.labels.sizes import FIRE_SIGN, LETTERS, PICTOGRAM_PREFERRED_MM, Minimum


class Role(StrEnum):
    """What a text is on the label."""

    PRODUCT = "product"
    NET = "net"
    STUDIO = "studio"
    SCENT = "scent"
    HEADING = "heading"
    STATEMENT = "statement"
    SIGNAL = "signal"
    HAZARD = "hazard"
    PRECAUTION = "precaution"
    CONTAINS = "contains"
    CODE = "code"
    ADDRESS = "address"
    UFI = "ufi"


class Sign(StrEnum):
    """The signs of fire safety, drawn in `fire_signs.py`."""

    WARNING = "warning"
    WITHIN_SIGHT = "within_sight"
    FROM_CHILDREN_AND_PETS = "from_children_and_pets"
    FROM_WHAT_BURNS = "from_what_burns"
    TRIM = "trim"
    DRAUGHT = "draught"
    MOVING = "moving"
    APART = "apart"
    LIQUID = "liquid"
    POOL_CLEAR = "pool_clear"


class Pictogram(StrEnum):
    """The pictograms of hazards, drawn in `hazard_signs.py`."""

    GHS02 = "GHS02"
    GHS03 = "GHS03"
    GHS04 = "GHS04"
    GHS05 = "GHS05"
    GHS06 = "GHS06"
    GHS07 = "GHS07"
    GHS08 = "GHS08"
    GHS09 = "GHS09"


@dataclass(frozen=True, slots=True)
class Text:
    """Words on a label; a line break in them stays one.

    `minima` are kept all at once. `preferred_x_mm` is the x-height where there is room, None for
    the smallest. `lead` stands before the first line, as high as the line: the safety alert symbol
    before WARNING (ASTM F2058, read in its abstract: in uppercase and bold).
    """

    role: Role
    text: str
    minima: tuple[Minimum, ...] = (LETTERS,)
    preferred_x_mm: float | None = None
    is_bold: bool = False
    lead: Sign | None = None


@dataclass(frozen=True, slots=True)
class Signs:
    """Signs of fire safety, in the order that is asked for."""

    signs: tuple[Sign, ...]
    minimum: Minimum = FIRE_SIGN
    preferred_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Pictograms:
    """Pictograms of hazards; their smallest side is `sizes.pictogram_side_mm` of the panel."""

    pictograms: tuple[Pictogram, ...]
    preferred_mm: float = PICTOGRAM_PREFERRED_MM


@dataclass(frozen=True, slots=True)
class Field:
    """A caption and an empty frame under it for so many characters, to be written by hand."""

    role: Role
    caption: str
    characters: int
    minima: tuple[Minimum, ...] = (LETTERS,)


Block = Text | Signs | Pictograms | Field


@dataclass(frozen=True, slots=True)
class Label:
    """The two faces of a label. Either may be empty."""

    front: tuple[Block, ...]
    caution: tuple[Block, ...]
