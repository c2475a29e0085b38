"""Nothing gone missing: what the records left show about records that are gone."""

from datetime import date

from .cycle import is_seen
from .doubts import doubts
from .match import alike, matches
from .read import Book, Record


def visible_burns(book: Book, day: date) -> dict[str, Record]:
    """Return the test candles that the day sees."""
    return {name: burn for name, burn in book.get("burns", {}).items() if is_seen(burn, day)}


def letters(count: int) -> set[str]:
    """Return the first letters: A, B, ... Z, AA, AB ..."""
    found = set()
    for index in range(1, count + 1):
        word, rest = "", index
        while rest:
            rest, step = divmod(rest - 1, 26)
            word = chr(ord("A") + step) + word
        found.add(word)
    return found


def whys(
    book: Book, name: str, protocol: Record, day: date, but: frozenset[str] = frozenset()
) -> set[str]:
    """Return why a test candle of this recipe may not be on file ("Nothing gone missing").

    What the records of the candles `but` leave in doubt is not asked.
    """
    named = {at: b for at, b in book.get("burns", {}).items() if b["recipe"] == name}
    filed = list(named.values())
    found = set()
    for poured in {b["made"]["on"] for b in filed if is_seen(b, day)}:
        group = [b for b in filed if b["made"]["on"] == poured]
        # says "that many records must be on file and must agree on the number"
        said = {int(b["made"]["candles"]) for b in group}
        if len(said) > 1:
            found.add("pouring_disagrees")
        if said != {len(group)}:
            found.add("pouring_incomplete")
    # says "in consecutive letters over the recipe's life", each once
    # (of everything on file, whatever the day: a file gone now may have spoken then)
    worn = [b["candle"] for b in filed]
    if len(set(worn)) < len(worn):
        found.add("letter_twice")
    if sorted(set(worn)) != sorted(letters(len(set(worn)))):
        found.add("letter_missing")
    stated = book["recipes"][name].get("test_candles")
    # says "count_unsaid: the recipe has burns on file and no test_candles"
    if stated is None and filed:
        found.add("count_unsaid")
    if stated is not None and int(stated) != len(filed):
        found.add("count_disagrees")
    asked = [burn for at, burn in named.items() if at not in but]
    return found.union(*(doubts(book, burn, protocol, day) for burn in asked))


def missing_whys(
    book: Book, name: str, protocol: Record, day: date, but: frozenset[str] = frozenset()
) -> set[str]:
    """Return why a candle may be missing, of this recipe or of one whose candles speak for it."""
    recipe = book["recipes"][name]
    sharing = {name} | {
        burn["recipe"]
        for burn in visible_burns(book, day).values()
        if matches(book, recipe, burn["made"], protocol, day, failed=True)
    }
    # and of recipes that are this candle, whether or not a candle of theirs is left on file
    sharing |= {
        other
        for other, theirs in book["recipes"].items()
        if alike(book, theirs, recipe, protocol, day, times=2)
    }
    return set().union(*(whys(book, other, protocol, day, but) for other in sharing))
