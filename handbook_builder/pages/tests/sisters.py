"""The candles of one recipe, as the page of each leads to the others."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.judge import burned_of
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Sister:
    """A candle of the same recipe."""

    candle: str
    path: str
    word: Word
    here: bool


def sisters_of(desk: Desk, burned: Burned) -> tuple[Sister, ...]:
    """Return the candles of the recipe of one of them, itself included, by their letters."""
    recipe = burned.candle.seen.burn.recipe
    family = [burn.candle for burn in burned_of(desk.judged)[recipe]]
    family.sort(key=lambda one: (len(one.seen.burn.candle), one.seen.burn.candle, one.id))
    return tuple(
        Sister(
            sister.seen.burn.candle,
            f"tests/{sister.id}",
            desk.words.verdict(sister.verdict),
            sister.id == burned.candle.id,
        )
        for sister in family
    )


def neighbour(desk: Desk, sisters: tuple[Sister, ...], step: int) -> Link | None:
    """Return the sister so many places on from the candle itself, or None beyond the last."""
    at = [sister.here for sister in sisters].index(True) + step
    if not 0 <= at < len(sisters):
        return None
    return desk.test(sisters[at].path.rpartition("/")[2])
