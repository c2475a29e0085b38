"""Pictures of test candles in strips: the cycles of one, or one cycle of several side by side."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from handbook_builder.derived.photos import Photo, photos_of
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.verdicts.candles import CandleVerdict


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its path in the records, where it leads, and what is seen on it.

    `words` say what is seen, or that nobody has said so; `alt` is the same with what it shows, for
    those who cannot see it.
    """

    path: str
    caption: Link
    words: str
    alt: str


@dataclass(frozen=True, slots=True)
class Strip:
    """Pictures side by side under a title."""

    title: str
    pictures: tuple[Picture, ...]


def strip_of_candle(desk: Desk, candle: CandleVerdict) -> Strip | None:
    """Return the pictures of one candle by their cycles, or None when it has none."""
    burn = candle.seen.burn
    found = tuple(
        _picture(desk, photo, _of_cycle(desk, photo, len(burn.cycles)))
        for photo in _seen(desk, candle)
    )
    title = desk.phrase("pictures.of_candle", candle=burn.candle)
    return Strip(title, found) if found else None


def strips_by_cycle(
    desk: Desk, candles: Iterable[CandleVerdict], least: int = 1
) -> tuple[Strip, ...]:
    """Return, for each cycle that `least` candles have pictures of, these side by side.

    The captions bear the letters of the candles, or their whole names when they are of several
    recipes.
    """
    several = tuple(candles)
    alone = len({one.seen.burn.recipe for one in several}) == 1
    by_cycle: dict[int, list[tuple[CandleVerdict, Photo]]] = {}
    for candle in several:
        for photo in _seen(desk, candle):
            if photo.cycle is not None:
                by_cycle.setdefault(photo.cycle, []).append((candle, photo))
    return tuple(
        Strip(
            desk.phrase("pictures.of_cycle", cycle=cycle),
            tuple(_picture(desk, photo, _of(desk, candle, cycle, alone=alone))
                  for candle, photo in found),
        )
        for cycle, found in sorted(by_cycle.items())
        if len({candle.id for candle, _ in found}) >= least
    )  # fmt: skip


def _seen(desk: Desk, candle: CandleVerdict) -> Iterator[Photo]:
    """Yield the pictures of what is seen of a candle on the day of the verdicts."""
    seen = candle.seen
    is_whole = len(seen.cycles) == len(seen.burn.cycles)
    for photo in photos_of(desk.studio, seen.burn):
        if is_whole or (photo.cycle is not None and photo.cycle <= len(seen.cycles)):
            yield photo


def _of_cycle(desk: Desk, photo: Photo, cycles: int) -> Link:
    """Return the caption of a picture among those of its candle."""
    if photo.cycle is None:
        return Link(desk.phrase("pictures.no_cycle") if cycles else "", "")
    return Link(desk.phrase("pictures.cycle", cycle=photo.cycle), f"#cycle-{photo.cycle}")


def _of(desk: Desk, candle: CandleVerdict, cycle: int, *, alone: bool) -> Link:
    """Return the caption of a picture among those of other candles."""
    link = desk.test(candle.id)
    letter = desk.phrase("pictures.candle", candle=candle.seen.burn.candle)
    return Link(letter if alone else link.title, f"{link.path}#cycle-{cycle}")


def _picture(desk: Desk, photo: Photo, caption: Link) -> Picture:
    words = photo.alt or desk.phrase("pictures.no_words")
    return Picture(photo.path, caption, words, f"{caption.title}: {words}")
