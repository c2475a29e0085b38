"""What a typeface measures: plain numbers in parts of its size."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from handbook_builder.labels.sizes import LEADING, Measure


class Font(StrEnum):
    """The two faces that come with the program."""

    REGULAR = "regular"
    BOLD = "bold"


@dataclass(frozen=True, slots=True)
class Typeface:
    """One face: how far each character advances, and how high its letters are, of its size.

    `ascent` and `descent` reach over and under every one of its characters.
    """

    advances: Mapping[str, float]
    x_height: float
    capital: float
    figure: float
    ascent: float
    descent: float
    _known: dict[str, float] = field(default_factory=dict, init=False, repr=False, compare=False)

    def width(self, text: str) -> float:
        """Return how wide a text is, of the size."""
        wide = self._known.get(text)
        if wide is None:  # the same words are measured for every width that is tried
            wide = self._known[text] = sum(self.advances[character] for character in text)
        return wide

    def part(self, measure: Measure) -> float:
        """Return how high `measure` is, of the size. KeyError for what is no letter's."""
        parts = {
            Measure.X_HEIGHT: self.x_height,
            Measure.CAPITAL: self.capital,
            Measure.FIGURE: self.figure,
        }
        return parts[measure]

    @property
    def line(self) -> float:
        """Return how far two baselines are apart, of the size, so that no letters touch."""
        return max(LEADING, self.ascent + self.descent)


Typefaces = Mapping[Font, Typeface]
