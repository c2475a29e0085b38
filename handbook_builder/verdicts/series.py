"""Nothing gone missing: every test candle that was poured must be on file."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.verdicts.reason import Reason


def letters(count: int) -> tuple[str, ...]:
    """Return the first `count` letters of test candles: A to Z, then AA, AB and so on."""
    return tuple(_letter(number) for number in range(count))


def _letter(number: int) -> str:
    first, last = divmod(number, 26)
    return ("" if first == 0 else chr(64 + first)) + chr(65 + last)


def gone_missing(recipe: Recipe, burns: Sequence[Burn], day: date) -> tuple[Reason, ...]:
    """Return what shows that a test candle of `recipe` is not on file.

    `burns` are all the records of this recipe. A pouring counts from its day on; the letters and
    the recipe's own count are of everything on file, whatever the day: a file that is gone now
    may have spoken then.
    """
    pourings: dict[date, list[Burn]] = defaultdict(list)
    for burn in burns:
        if burn.made.on <= day:
            pourings[burn.made.on].append(burn)
    return (
        *(reason for on, poured in pourings.items() for reason in _incomplete(on, poured)),
        *_gaps(burns),
        *_uncounted(recipe, burns),
    )


def _incomplete(on: date, poured: list[Burn]) -> Iterator[Reason]:
    """Yield when the records of one pouring disagree, or are not as many as they say."""
    stated = {burn.made.candles for burn in poured}
    place = poured[0].source.place("made.candles")
    if len(stated) > 1:
        details = {"on": on, "stated": tuple(sorted(stated))}
        yield Reason("pouring_disagrees", place, details)
    elif stated != {len(poured)}:
        details = {"on": on, "poured": poured[0].made.candles, "found": len(poured)}
        yield Reason("pouring_incomplete", place, details)


def _gaps(burns: Sequence[Burn]) -> Iterator[Reason]:
    """Yield each letter that is missing before the last one, and each that stands twice."""
    have = [burn.candle for burn in burns]
    for letter in letters(len(burns)):
        if letter not in have:
            yield Reason("letter_missing", burns[0].source.place("candle"), {"candle": letter})
    for burn in burns:
        if have.count(burn.candle) > 1:
            yield Reason("letter_twice", burn.source.place("candle"), {"candle": burn.candle})


def _uncounted(recipe: Recipe, burns: Sequence[Burn]) -> Iterator[Reason]:
    """Yield when the recipe does not say how many test candles there ever were, or says other."""
    stated = recipe.test_candles
    if stated is None and burns:
        yield Reason("count_unsaid", recipe.source.place(), {"found": len(burns)})
    elif stated is not None and stated != len(burns):
        details = {"stated": stated, "found": len(burns)}
        yield Reason("count_disagrees", recipe.source.place("test_candles"), details)
