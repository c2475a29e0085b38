"""The verdicts of a whole studio as of a day, worked out a second time and naively."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from .candle import SLACK, candle_verdict, cycle_verdicts
from .match import alike, load_on_wax, matches, oil_shares, recipe_waxes
from .protocol import protocol_of
from .read import Book, Record, amounts, day_of, quantity, read
from .screen import entries, screening

PLAIN_CORES = {"none", "cotton", "paper", "wood", "hemp"}


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


def gone_missing(book: Book, name: str, day: date) -> bool:
    """Tell whether a test candle of this recipe is not on file ("Nothing gone missing")."""
    filed = [b for b in book.get("burns", {}).values() if b["recipe"] == name]
    seen = [b for b in filed if day_of(b["made"]["on"]) <= day]
    for poured in {b["made"]["on"] for b in seen}:
        group = [b for b in seen if b["made"]["on"] == poured]
        # says "that many records must be on file and must agree on the number"
        if any(int(b["made"]["candles"]) != len(group) for b in group):
            return True
    # says "in consecutive letters over the recipe's life", each once
    # (of everything on file, whatever the day: a file gone now may have spoken then)
    if sorted(b["candle"] for b in filed) != sorted(letters(len(filed))):
        return True
    stated = book["recipes"][name].get("test_candles")
    # says how many test candles were ever poured for the recipe
    return stated is not None and int(stated) != len(filed)


def missing_candle(book: Book, name: str, protocol: Record, day: date) -> bool:
    """Tell whether a candle is missing, of this recipe or of one whose candles speak for it."""
    if gone_missing(book, name, day):
        return True
    recipe = book["recipes"][name]
    sharing = {
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
    return any(gone_missing(book, other, day) for other in sharing)


def items_of(recipe: Record) -> set[str]:
    """Return every item the combination holds, packaging too, as `folder/id`."""
    held = {f"vessels/{recipe['vessel']}", f"wicks/{recipe['wick']}"}
    held |= {f"waxes/{name}" for name in recipe_waxes(recipe)}
    held |= {f"fragrances/{name}" for name in amounts(recipe.get("fragrance"))}
    held |= {f"colorants/{name}" for name in amounts(recipe.get("colorant"))}
    return held | {f"packaging/{name}" for name in recipe.get("packaging", {})}


def open_incident(book: Book, name: str, day: date) -> bool:
    """Tell whether an open incident touches a recipe."""
    # says "About a recipe: that recipe"; a recipe of the same combination is the same candle
    protocol, recipe = protocol_of(book), book["recipes"][name]
    same = {
        other
        for other, theirs in book["recipes"].items()
        if other == name or alike(book, theirs, recipe, protocol, day, times=1)
    }
    touched = {f"recipes/{other}" for other in same}
    for batch, record in book.get("batches", {}).items():
        if record["recipe"] in same:
            touched.add(f"batches/{batch}")  # "About a batch: that batch and its recipe"
    # says "About an item without a lot: every combination that holds the item"
    items = items_of(book["recipes"][name])
    for incident in book.get("incidents", {}).values():
        closed = "closed" in incident and day_of(incident["closed"]["on"]) <= day
        if day_of(incident["on"]) > day or closed:
            continue
        about = incident["about"]
        # says "About an item with a lot: every batch that used the lot (suspended), not the recipe"
        if about in touched or (about in items and "lot" not in incident):
            return True
    return False


def retired(recipe: Record, day: date) -> bool:
    """Tell whether a recipe was retired on or before the day."""
    return "retired" in recipe and day_of(recipe["retired"]) <= day


def paper_codes(book: Book, recipe: Record, day: date) -> set[str]:
    """Return what is missing among limits and papers of waxes, oils and wick."""
    codes = set()
    for name, share in oil_shares(recipe).items():
        oil = book["fragrances"][name]
        if "max_use" not in oil:
            codes.add("oil_max_use_unknown")
        elif share > quantity(oil["max_use"]) + SLACK:  # "every fragrance's share <= its `max_use`"
            codes.add("oil_over_max_use")
        if not entries(oil.get("certificate"), day):
            codes.add("certificate_missing")
        if not entries(oil.get("safety_sheet"), day):
            codes.add("safety_sheet_missing")
    # says "`max_load` with the summed load on wax (... the share-weighted mean of their limits)"
    waxes = recipe_waxes(recipe)
    limit = sum((s * quantity(book["waxes"][w]["max_load"]) for w, s in waxes.items()), Fraction(0))
    if load_on_wax(recipe) > limit + SLACK:
        codes.add("load_over_max_load")
    wick = book["wicks"][recipe["wick"]]
    # says "a metal core has its lead-free word"
    if wick["core"] not in PLAIN_CORES and not entries(wick.get("lead_free"), day):
        codes.add("lead_free_missing")
    return codes


def evidence(
    book: Book, recipe: Record, verdicts: Mapping[str, str], protocol: Record, day: date
) -> dict[str, list[str]]:
    """Return verdict -> sorted ids of the test candles that speak for the recipe."""
    found: dict[str, list[str]] = {}
    for name, burn in sorted(visible_burns(book, day).items()):
        times = 2 if verdicts[name] == "fail" else 1
        if matches(book, recipe, burn["made"], protocol, day, times=times):
            found.setdefault(verdicts[name], []).append(name)
    return found


def missing_codes(
    book: Book, name: str, counted: Mapping[str, list[str]], protocol: Record, day: date
) -> set[str]:
    """Return every clause of `approved` that does not hold."""
    recipe = book["recipes"][name]
    vessel = book["vessels"][recipe["vessel"]]
    cleared = screening(vessel, protocol, book.get("suppliers", {}), day) == "cleared"
    clauses = {
        "too_few_passed": len(counted.get("pass", [])) < int(protocol["test_candles"]),
        "candle_failed": bool(counted.get("fail")),  # "however many passed"
        "vessel_not_cleared": not cleared,
        "vessel_practice": vessel["use"] == "practice",
        "open_incident": open_incident(book, name, day),
        "retired": retired(recipe, day),
        "missing_candle": missing_candle(book, name, protocol, day),
    }
    return {code for code, holds in clauses.items() if holds} | paper_codes(book, recipe, day)


def status(missing: set[str], counted: Mapping[str, list[str]]) -> str:  # noqa: PLR0911
    """Return the first status that holds, in the order the design gives."""
    if "retired" in missing:
        return "retired"
    if "open_incident" in missing:
        return "suspended"
    if "candle_failed" in missing:
        return "failed"
    if not missing:
        return "approved"
    if "too_few_passed" not in missing:
        return "held"  # "enough candles passed, but something else is missing"
    if any(counted.get(kind) for kind in ("pass", "incomplete", "burning")):
        return "in_test"  # "at least one matching candle that is not void"
    return "untested"


def judge_book(book: Book, day: date) -> dict[str, Any]:
    """Return products, burns and vessels of a studio already read."""
    protocol = protocol_of(book)
    burns: dict[str, Any] = {}
    for name, burn in sorted(visible_burns(book, day).items()):
        vessel = book["vessels"][burn["made"]["vessel"]]
        burns[name] = {
            "verdict": candle_verdict(burn, vessel, book["waxes"], protocol, day),
            "cycles": cycle_verdicts(burn, vessel, protocol, day),
        }
    verdicts = {name: told["verdict"] for name, told in burns.items()}
    products = {}
    for name, recipe in sorted(book.get("recipes", {}).items()):
        counted = evidence(book, recipe, verdicts, protocol, day)
        missing = missing_codes(book, name, counted, protocol, day)
        products[name] = {
            "status": status(missing, counted),
            "missing": missing,
            "passed": counted.get("pass", []),
            "failed": counted.get("fail", []),
            "burning": counted.get("burning", []),
            "void": counted.get("void", []),
        }
    vessels = {
        name: screening(vessel, protocol, book.get("suppliers", {}), day)
        for name, vessel in sorted(book.get("vessels", {}).items())
    }
    return {"products": products, "burns": burns, "vessels": vessels}


def judge(files: Mapping[str, str], day: date) -> dict[str, Any]:
    """Return the verdicts of a studio's record texts as of a day.

    `files` maps paths relative to the records folder to texts; the records must be well formed.
    The result has `products` (status, set of missing codes, sorted ids of matching candles),
    `burns` (verdict, verdict of each visible cycle; only candles poured by that day) and
    `vessels` (screening).
    """
    return judge_book(read(files), day)
