"""Nothing gone missing: what the records left show about records that are gone."""

from datetime import date

from .cycle import is_misuse
from .match import alike, matches
from .read import Book, Record, day_of, exceeds, quantity


def visible_burns(book: Book, day: date) -> dict[str, Record]:
    """Return the test candles poured on or before the day."""
    burns = book.get("burns", {})
    return {name: burn for name, burn in burns.items() if day_of(burn["made"]["on"]) <= day}


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


def record_cut(burn: Record) -> bool:
    """Tell whether `end.cycles` "is not the number of its cycles on file"."""
    said = burn.get("end", {}).get("cycles")
    return said is not None and int(said) != len(burn.get("cycles", []))


def end_unsaid(burn: Record, protocol: Record) -> bool:
    """Tell whether a record without an end reads as if it had one.

    "a burn (not misuse) that has cycles and no `end` at all, whose last cycle's `burned` is on file
    and shorter than cycle - cycle_tolerance".
    """
    if is_misuse(burn) or "end" in burn or not burn.get("cycles"):
        return False
    last = burn["cycles"][-1]
    whole = quantity(protocol["cycle"]) - quantity(protocol["cycle_tolerance"])
    return "burned" in last and exceeds(whole, quantity(last["burned"]))


def whys(book: Book, name: str, protocol: Record, day: date) -> set[str]:
    """Return why a test candle of this recipe may not be on file ("Nothing gone missing")."""
    filed = [b for b in book.get("burns", {}).values() if b["recipe"] == name]
    seen = [b for b in filed if day_of(b["made"]["on"]) <= day]
    found = set()
    for poured in {b["made"]["on"] for b in seen}:
        group = [b for b in seen if b["made"]["on"] == poured]
        # says "that many records must be on file and must agree on the number"
        said = {int(b["made"]["candles"]) for b in group}
        if len(said) > 1:
            found.add("pouring_disagrees")
        if said != {len(group)}:
            found.add("pouring")
    # says "in consecutive letters over the recipe's life", each once
    # (of everything on file, whatever the day: a file gone now may have spoken then)
    if sorted(b["candle"] for b in filed) != sorted(letters(len(filed))):
        found.add("letters")
    stated = book["recipes"][name].get("test_candles")
    # says "count_unsaid: the recipe has burns on file and no test_candles"
    if stated is None and filed:
        found.add("count_unsaid")
    if stated is not None and int(stated) != len(filed):
        found.add("count_disagrees")
    found |= {"record_cut" for burn in filed if record_cut(burn)}
    return found | {"end_unsaid" for burn in filed if end_unsaid(burn, protocol)}


def missing_candle(book: Book, name: str, protocol: Record, day: date) -> bool:
    """Tell whether a candle is missing, of this recipe or of one whose candles speak for it."""
    recipe = book["recipes"][name]
    sharing = {name} | {
        burn["recipe"]
        for burn in visible_burns(book, day).values()
        if matches(book, recipe, burn["made"], protocol, day, times=2)
    }
    # and of recipes that are this candle, whether or not a candle of theirs is left on file
    sharing |= {
        other
        for other, theirs in book["recipes"].items()
        if alike(book, theirs, recipe, protocol, day, times=2)
    }
    return any(whys(book, other, protocol, day) for other in sharing)
