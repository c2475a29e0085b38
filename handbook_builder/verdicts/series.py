"""Nothing gone missing: every test candle that was poured must be on file."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date

from handbook_builder.reading.kinds.making import Burn, Recipe
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason


def letters(count: int) -> tuple[str, ...]:
    """Return the first `count` letters of test candles: A to Z, then AA, AB and so on."""
    return tuple(_letter(number) for number in range(count))


def _letter(number: int) -> str:
    first, last = divmod(number, 26)
    return ("" if first == 0 else chr(64 + first)) + chr(65 + last)


def gone_missing(
    recipe: Recipe, burns: Sequence[Burn], day: date, shortest_h: float
) -> tuple[Reason, ...]:
    """Return what shows that a test candle of `recipe`, or a part of one, is not on file.

    `shortest_h` is the shortest cycle that is a full one.

    `burns` are all the records of this recipe. A pouring counts from its day on; the letters and
    the recipe's own count are of everything on file, whatever the day: a file that is gone now
    may have spoken then.
    """
    pourings: dict[date, list[Burn]] = defaultdict(list)
    for one in burns:
        if one.made.on <= day:
            pourings[one.made.on].append(one)
    return (
        *(reason for on, poured in pourings.items() for reason in _incomplete(on, poured)),
        *_gaps(burns),
        *_uncounted(recipe, burns),
        *(reason for one in burns for reason in _cut(one, shortest_h)),
    )


def _incomplete(on: date, poured: list[Burn]) -> Iterator[Reason]:
    """Yield when the records of one pouring disagree, or are not as many as they say."""
    stated = {one.made.candles for one in poured}
    place = poured[0].source.place("made.candles")
    if len(stated) > 1:
        details = {"on": on, "stated": tuple(sorted(stated))}
        yield Reason("pouring_disagrees", place, details)
    elif stated != {len(poured)}:
        details = {"on": on, "poured": poured[0].made.candles, "found": len(poured)}
        yield Reason("pouring_incomplete", place, details)


def _gaps(burns: Sequence[Burn]) -> Iterator[Reason]:
    """Yield each letter that is missing before the last one, and each that stands twice."""
    have = [one.candle for one in burns]
    for letter in letters(len(burns)):
        if letter not in have:
            yield Reason("letter_missing", burns[0].source.place("candle"), {"candle": letter})
    for one in burns:
        if have.count(one.candle) > 1:
            yield Reason("letter_twice", one.source.place("candle"), {"candle": one.candle})


def _uncounted(recipe: Recipe, burns: Sequence[Burn]) -> Iterator[Reason]:
    """Yield when the recipe does not say how many test candles there ever were, or says other."""
    stated = recipe.test_candles
    if stated is None and burns:
        yield Reason("count_unsaid", recipe.source.place(), {"found": len(burns)})
    elif stated is not None and stated != len(burns):
        details = {"stated": stated, "found": len(burns)}
        yield Reason("count_disagrees", recipe.source.place("test_candles"), details)


def _cut(burn: Burn, shortest_h: float) -> Iterator[Reason]:
    """Yield when a record has lost a cycle, or its end: what is gone may have spoken against it.

    A candle that was put out early and never lit again reads like one whose end is gone.
    """
    named = {"burn": burn.source.id, "candle": burn.candle}
    if burn.end is not None:
        stated, found = burn.end.cycles, len(burn.cycles)
        if stated is not None and stated != found:
            details = {**named, "stated": stated, "found": found}
            yield Reason("record_cut", burn.source.place("end.cycles"), details)
        return
    last_h = burn.cycles[-1].burned_h if burn.cycles else None
    if last_h is not None and exceeds(shortest_h, last_h) and not burn.is_misuse:
        place = burn.source.place(f"cycles[{len(burn.cycles) - 1}]")
        yield Reason("end_unsaid", place, {**named, "burned_h": last_h})
