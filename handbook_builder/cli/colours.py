"""The colour of a verdict in a terminal: it repeats what the word says, for the quick look."""

from collections.abc import Mapping
from typing import Final

from handbook_builder.terminal import Tone, paint
from handbook_builder.words import Word

_TONES: Final[Mapping[str, Tone]] = {
    "good": Tone.GOOD, "bad": Tone.BAD, "wait": Tone.OPEN, "warn": Tone.OPEN,
}  # fmt: skip


def coloured(word: Word, width: int = 0) -> str:
    """Return the word of a verdict in the colour of its tone, filled up to a width."""
    return paint(f"{word.word:<{width}}", _TONES.get(word.tone))
