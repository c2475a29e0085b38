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

    `burns` are all the records of this recipe; those poured after `day` are not seen.
    """
    seen = [one for one in burns if one.made.on <= day]
    pourings: dict[date, list[Burn]] = defaultdict(list)
    for one in seen:
        pourings[one.made.on].append(one)
    return (
        *(reason for poured in pourings.values() for reason in _incomplete(poured)),
        *_gaps(seen),
        *_uncounted(recipe, burns, seen),
    )


def _incomplete(poured: list[Burn]) -> Iterator[Reason]:
    """Yield when the records of one pouring disagree, or are not as many as they say."""
    stated = {one.made.candles for one in poured}
    place = poured[0].source.place("made.candles")
    if len(stated) > 1:
        details = {"on": poured[0].made.on, "stated": tuple(sorted(stated))}
        yield Reason("pouring_disagrees", place, details)
    elif stated != {len(poured)}:
        details = {"on": poured[0].made.on, "poured": poured[0].made.candles, "found": len(poured)}
        yield Reason("pouring_incomplete", place, details)


def _gaps(seen: list[Burn]) -> Iterator[Reason]:
    """Yield each letter that is missing before the last one, and each that stands twice."""
    due = letters(len(seen))
    have = [one.candle for one in seen]
    for letter in due:
        if letter not in have:
            place = seen[0].source.place("candle")
            yield Reason("letter_missing", place, {"candle": letter})
    for one in seen:
        if have.count(one.candle) > 1:
            yield Reason("letter_twice", one.source.place("candle"), {"candle": one.candle})


def _uncounted(recipe: Recipe, burns: Sequence[Burn], seen: list[Burn]) -> Iterator[Reason]:
    """Yield when the recipe's own count is another; asked only once all records are seen."""
    stated = recipe.test_candles
    if stated is not None and len(seen) == len(burns) and stated != len(burns):
        details = {"stated": stated, "found": len(burns)}
        yield Reason("count_disagrees", recipe.source.place("test_candles"), details)
