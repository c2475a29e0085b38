"""The verdicts of a whole studio as of a day, worked out a second time and naively."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from .candle import Candle, judged_candle
from .copies import copied
from .evidence import counting
from .gone import missing_whys, visible_burns
from .incidents import touching, touching_proof
from .match import load_on_wax, matches, oil_shares, recipe_waxes
from .protocol import protocol_of
from .read import Book, Record, day_of, exceeds, quantity, read
from .screen import screened

PLAIN_CORES = {"none", "cotton", "paper", "wood", "hemp"}
# how the lists of a product's evidence are called, by verdict
LISTS = {
    "pass": "passed",
    "fail": "failed",
    "burning": "burning",
    "incomplete": "incomplete",
    "void": "void",
    "misuse": "misuse",
    "ladder": "ladder",
}
Counted = Mapping[str, list[str]]


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
        elif exceeds(share, quantity(oil["max_use"])):  # "every fragrance's share <= its `max_use`"
            codes.add("oil_over_max_use")
        # says "when no counting entry"
        if not counting(oil, "certificate", day):
            codes.add("certificate_missing")
        if not counting(oil, "safety_sheet", day):
            codes.add("safety_sheet_missing")
    # says "`max_load` with the summed load on wax (... the share-weighted mean of their limits)"
    waxes = recipe_waxes(recipe)
    limit = sum((s * quantity(book["waxes"][w]["max_load"]) for w, s in waxes.items()), Fraction(0))
    if exceeds(load_on_wax(recipe), limit):
        codes.add("load_over_max_load")
    wick = book["wicks"][recipe["wick"]]
    # says "a metal core has its lead-free word"
    if wick["core"] not in PLAIN_CORES and not counting(wick, "lead_free", day):
        codes.add("lead_free_missing")
    return codes


def evidence(
    book: Book, recipe: Record, verdicts: Mapping[str, str], protocol: Record, day: date
) -> dict[str, list[str]]:
    """Return verdict -> sorted ids of the test candles that speak for the recipe."""
    found: dict[str, list[str]] = {verdict: [] for verdict in LISTS}
    for name, burn in sorted(visible_burns(book, day).items()):
        failed = verdicts[name] == "fail"
        if matches(book, recipe, burn["made"], protocol, day, failed=failed):
            found[verdicts[name]].append(name)
    return found


def too_few_pourings(book: Book, passed: list[str], protocol: Record) -> bool:
    """Tell whether enough candles passed, and they come from too few days.

    "passed candles come from fewer different made.on than protocol.pourings; asked only when
    enough passed".
    """
    days = {day_of(book["burns"][name]["made"]["on"]) for name in passed}
    enough = len(passed) >= int(protocol["test_candles"])
    return enough and len(days) < int(protocol["pourings"])


def missing_codes(  # noqa: PLR0913, PLR0917 - all that an approval depends on
    book: Book, name: str, counted: Counted, protocol: Record, day: date, whys: set[str]
) -> set[str]:
    """Return every clause of `approved` that does not hold."""
    recipe, passed = book["recipes"][name], counted["pass"]
    vessel = book["vessels"][recipe["vessel"]]
    screening = screened(vessel, protocol, book, day)["screening"]
    clauses = {
        "too_few_passed": len(passed) < int(protocol["test_candles"]),
        "too_few_pourings": too_few_pourings(book, passed, protocol),
        "candle_failed": bool(counted["fail"]),  # "however many passed"
        "vessel_not_cleared": screening != "cleared",
        "vessel_practice": vessel["use"] == "practice",
        "open_incident": bool(touching(book, name, passed, day)),
        "proof_lot_suspended": bool(touching_proof(book, passed, day)),
        "retired": retired(recipe, day),
        "missing_candle": bool(whys),
    }
    return {code for code, holds in clauses.items() if holds} | paper_codes(book, recipe, day)


def status(missing: set[str], counted: Counted) -> str:  # noqa: PLR0911
    """Return the first status that holds, in the order the design gives."""
    if "retired" in missing:
        return "retired"
    if missing & {"open_incident", "proof_lot_suspended"}:
        return "suspended"
    if "candle_failed" in missing:
        return "failed"
    if not missing:
        return "approved"
    if "too_few_passed" not in missing:
        return "held"  # "enough candles passed, but something else is missing"
    if any(counted[kind] for kind in ("pass", "incomplete", "burning")):
        # says "at least one matching candle that is not void"; misuse "is never evidence"
        return "in_test"
    return "untested"


def candles_on(book: Book, protocol: Record, day: date) -> dict[str, Candle]:
    """Return every test candle that the day sees, judged."""
    burns = visible_burns(book, day)
    copies = copied(burns, day)
    return {
        name: judged_candle(book, burn, protocol, day, copied=name in copies)
        for name, burn in sorted(burns.items())
    }


def _shown(candle: Candle) -> dict[str, Any]:
    told = candle.told
    return {
        "verdict": candle.verdict,
        "failures": sorted(told.failures),
        "gaps": sorted(told.gaps),
        "watches": sorted(told.watches),
        "cycles": [cycle.verdict for cycle in candle.cycles],
        "reasons": [
            (sorted(cycle.failures), sorted(cycle.gaps), sorted(cycle.watches))
            for cycle in candle.cycles
        ],
    }


def judge_book(book: Book, day: date) -> dict[str, Any]:
    """Return products, burns and vessels of a studio already read."""
    protocol = protocol_of(book)
    candles = candles_on(book, protocol, day)
    verdicts = {name: candle.verdict for name, candle in candles.items()}
    products = {}
    for name, recipe in sorted(book.get("recipes", {}).items()):
        counted = evidence(book, recipe, verdicts, protocol, day)
        whys = missing_whys(book, name, protocol, day)
        missing = missing_codes(book, name, counted, protocol, day, whys)
        lists = {word: counted[verdict] for verdict, word in LISTS.items()}
        told = {"status": status(missing, counted), "missing": missing, "whys": whys}
        products[name] = told | lists
    vessels = {
        name: screened(vessel, protocol, book, day)
        for name, vessel in sorted(book.get("vessels", {}).items())
    }
    burns = {name: _shown(candle) for name, candle in candles.items()}
    return {"products": products, "burns": burns, "vessels": vessels}


def judge(files: Mapping[str, str], day: date) -> dict[str, Any]:
    """Return the verdicts of a studio's record texts as of a day.

    `files` maps paths relative to the records folder to texts; the records must be well formed.
    The result has `products` (status, set of missing codes, sorted ids of matching candles by
    verdict, and why a candle may be missing), `burns` (verdict, codes of the candle, verdict and
    codes of each visible cycle; only candles that the day sees) and `vessels` (screening, codes).
    """
    return judge_book(read(files), day)
