"""Open incidents: what they touch."""

from collections.abc import Iterable
from datetime import date, timedelta

from .match import alike, matches, recipe_waxes
from .protocol import protocol_of
from .read import Book, Record, amounts, day_of


def open_on(book: Book, day: date) -> list[Record]:
    """Return the incidents that are open on a day."""
    return [
        one
        for one in book.get("incidents", {}).values()
        if day_of(one["on"]) <= day and not ("closed" in one and day_of(one["closed"]["on"]) <= day)
    ]


def items_of(recipe: Record) -> set[str]:
    """Return every item the combination holds, packaging too, as `folder/id`."""
    held = {f"vessels/{recipe['vessel']}", f"wicks/{recipe['wick']}"}
    held |= {f"waxes/{name}" for name in recipe_waxes(recipe)}
    held |= {f"fragrances/{name}" for name in amounts(recipe.get("fragrance"))}
    held |= {f"colorants/{name}" for name in amounts(recipe.get("colorant"))}
    return held | {f"packaging/{name}" for name in recipe.get("packaging", {})}


def made_of(made: Record) -> set[str]:
    """Return the items of a candle: "vessel, wick, waxes, fragrances, colorants as in made"."""
    held = {f"vessels/{made['vessel']}", f"wicks/{made['wick']}"}
    held |= {f"waxes/{name}" for name in amounts(made["wax"])}
    held |= {f"fragrances/{name}" for name in amounts(made.get("fragrance"))}
    return held | {f"colorants/{name}" for name in amounts(made.get("colorant"))}


def held_by(burn: Record) -> set[str]:
    """Return what a candle holds: "... as in made, and keys of lots"."""
    return made_of(burn["made"]) | set(burn.get("lots", {}))


def near(book: Book, passed: Iterable[str], day: date) -> set[str]:
    """Return the recipes that a passed candle is as good as poured for.

    "when a passed candle of P lies within R's tolerances (times 1), or is filed under R".
    """
    protocol, burns = protocol_of(book), [book["burns"][name] for name in passed]
    return {burn["recipe"] for burn in burns} | {
        other
        for other, recipe in book["recipes"].items()
        if any(matches(book, recipe, burn["made"], protocol, day) for burn in burns)
    }


def touching(book: Book, name: str, passed: Iterable[str], day: date) -> list[Record]:
    """Return the open incidents that touch a recipe, proven by these candles."""
    # says "About a recipe: that recipe"; a recipe of the same combination is the same candle
    protocol, recipe = protocol_of(book), book["recipes"][name]
    same = {
        other
        for other, theirs in book["recipes"].items()
        if other == name or alike(book, theirs, recipe, protocol, day, times=1)
    } | near(book, passed, day)
    abouts = {f"recipes/{other}" for other in same}
    for batch, record in book.get("batches", {}).items():
        if record["recipe"] in same:
            abouts.add(f"batches/{batch}")  # "About a batch: that batch and its recipe"
    # says "About an item without a lot: every combination that holds the item", and "About an item
    # with a lot: every batch that used the lot (suspended), not the recipe"
    items = items_of(recipe)
    return [
        one
        for one in open_on(book, day)
        if one["about"] in abouts or (one["about"] in items and "lot" not in one)
    ]


def bought_by(book: Book, item: str, lot: str, day: date) -> bool:
    """Tell whether a lot of an item was bought on or before a day."""
    return any(
        day_of(bill["on"]) <= day
        and any(line["item"] == item and line.get("lot") == lot for line in bill["lines"])
        for bill in book.get("purchases", {}).values()
    )


def _from_lot(book: Book, burn: Record, item: str, lot: str) -> bool:
    """Tell whether a candle was, or may have been, poured from a lot."""
    if item not in held_by(burn):
        return False
    lots = burn.get("lots", {})
    if item in lots:
        return bool(lots[item] == lot)
    # says "an unnamed lot counts as possible when the lot was bought on or before made.on + 30
    # days"
    return bought_by(book, item, lot, day_of(burn["made"]["on"]) + timedelta(days=30))


def touching_proof(book: Book, passed: Iterable[str], day: date) -> list[Record]:
    """Return the open incidents about a lot that touch a passed candle of the evidence."""
    candles = [book["burns"][name] for name in passed]
    return [
        one
        for one in open_on(book, day)
        if "lot" in one and any(_from_lot(book, burn, one["about"], one["lot"]) for burn in candles)
    ]


def touching_batch(book: Book, batch: Record, day: date) -> list[Record]:
    """Return the open incidents that touch a batch itself, whatever they do to its product."""
    return [one for one in open_on(book, day) if _touches(book, batch, one)]


def _touches(book: Book, batch: Record, one: Record) -> bool:
    kind, about = one["about"].split("/")
    if kind in {"recipes", "batches"}:
        # says "About a batch: that batch and its recipe", and recipes of one combination, as they
        # were on the day of the batch, are one candle
        recipe = about if kind == "recipes" else book["batches"][about]["recipe"]
        mine, poured = book["recipes"][batch["recipe"]], day_of(batch["on"])
        return recipe == batch["recipe"] or alike(
            book, book["recipes"][recipe], mine, protocol_of(book), poured, times=1
        )
    # "what was weighed in is in it, whatever its recipe has come to be"
    lots = batch.get("lots", {})
    held = items_of(book["recipes"][batch["recipe"]]) | set(lots) | set(batch.get("weighed", {}))
    if one["about"] not in held or "lot" not in one:
        return one["about"] in held
    if one["about"] in lots:
        return bool(lots[one["about"]] == one["lot"])
    # says "A batch without a lot is suspended with any lot it may have used"
    return bought_by(book, one["about"], one["lot"], day_of(batch["on"]))
