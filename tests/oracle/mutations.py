"""Changes to a studio's record texts, for the safety properties; each returns a changed copy."""

from collections.abc import Mapping
from datetime import date, timedelta
from random import Random

from .candle import visible_cycles
from .draw import Draw
from .judge import gone_missing, visible_burns
from .match import matches, recipe_waxes
from .pour import candle, plain_made
from .protocol import protocol_of
from .read import Record, day_of, quantity, read, split
from .spell import Pen, rewrite, write

Files = dict[str, str]


def remove_record(files: Mapping[str, str], path: str) -> Files:
    """Return the records without one."""
    return {name: text for name, text in files.items() if name != path}


def known_hole(files: Mapping[str, str], path: str, day: date) -> bool:
    """Tell whether the records that remain cannot show that this one is gone.

    Only version control can miss: the incident with the highest number; the last letter, poured
    alone (or the one record that contradicted its sisters), where the recipe does not state
    `test_candles`; the only candle of another recipe that spoke for this one; and a recipe that
    counts test candles of the same make-up, none of which is on file.
    """
    kind, _, name = path.removesuffix(".md").rpartition("/")
    book = read(files)
    if kind == "incidents":
        numbers = {key: int(record["number"]) for key, record in book["incidents"].items()}
        return numbers[name] == max(numbers.values())
    if kind == "recipes":  # its count of test candles goes with it, when nothing else names it
        return "test_candles" in book["recipes"][name]
    if kind != "burns" or name not in visible_burns(book, day):
        return False
    burn = book["burns"].pop(name)
    if not gone_missing(book, burn["recipe"], day):
        return True
    protocol = protocol_of(book)
    sisters = [b for b in visible_burns(book, day).values() if b["recipe"] == burn["recipe"]]
    return any(
        other != burn["recipe"]
        and matches(book, recipe, burn["made"], protocol, day, times=2)
        and not any(matches(book, recipe, b["made"], protocol, day, times=2) for b in sisters)
        for other, recipe in book["recipes"].items()
    )


def forget_later(files: Mapping[str, str], day: date, rng: Random) -> Files:
    """Return the records without anything that is dated after the day."""
    book = read(files)
    kept = dict(files)
    for kind, records in book.items():
        for name, record in records.items():
            path = f"{kind}/{name}.md"
            told = record["made"]["on"] if kind == "burns" else record.get("on", "")
            if told and day_of(told) > day:
                del kept[path]
            elif path in kept:
                kept[path] = write(_earlier(record, day), rng, split(files[path])[1])
    return kept


def _earlier(record: Record, day: date) -> Record:
    """Return a record without its dated parts that are dated later."""
    known = {key: value for key, value in record.items() if not _is_later(value, day)}
    if "heat_evidence" in known:
        known["heat_evidence"] = [e for e in known["heat_evidence"] if day_of(e["on"]) <= day]
    if "cycles" in known:
        known["cycles"] = visible_cycles(record, day)
        if len(known["cycles"]) < len(record["cycles"]):
            known.pop("end", None)
    return known


def _is_later(value: object, day: date) -> bool:
    return isinstance(value, dict) and "on" in value and day_of(value["on"]) > day


def encoded(files: Mapping[str, str]) -> dict[str, bytes]:
    """Return the records as bytes."""
    return {path: text.encode() for path, text in files.items()}


def truncate(files: Mapping[str, str], path: str, rng: Random) -> dict[str, bytes]:
    """Return the records with one cut off at some byte."""
    whole = encoded(files)
    return whole | {path: whole[path][: rng.randrange(len(whole[path]))]}


def scribble(files: Mapping[str, str], path: str, rng: Random) -> dict[str, bytes]:
    """Return the records with a run of bytes of one overwritten by what is no text."""
    whole = encoded(files)
    old = whole[path]
    start = rng.randrange(len(old))
    run = min(rng.randrange(1, 40), len(old) - start)
    junk = rng.choice([b"\x00", b"\xff"]) * run
    return whole | {path: old[:start] + junk + old[start + run :]}


def _changed(files: Mapping[str, str], path: str, record: Record, rng: Random) -> Files:
    return dict(files) | {path: write(record, rng, split(files[path])[1])}


def add_failing_reading(files: Mapping[str, str], day: date, rng: Random) -> Files | None:
    """Return the records with a flame over any limit, or a crack, in one cycle seen by that day.

    None when no cycle has been burned by then.
    """
    burns = visible_burns(read(files), day)
    lit = sorted(name for name, burn in burns.items() if visible_cycles(burn, day))
    if not lit:
        return None
    name = rng.choice(lit)
    burn = burns[name]
    cycle = rng.choice(visible_cycles(burn, day))
    if rng.random() < 0.5:
        cycle["flame"] = rng.choice(["75.2 mm", "120 mm", "4 in"])
    else:
        cycle["seen"] = [*cycle.get("seen", []), "crack"]
    return _changed(files, f"burns/{name}.md", burn, rng)


def add_other_combination(files: Mapping[str, str], day: date, rng: Random) -> Files:
    """Return the records and a new recipe, in a wick of its own, with a whole passing series."""
    book = read(files)
    draw = Draw(rng, Pen(rng), book)
    model = book["recipes"][rng.choice(draw.ids("recipes"))]
    unsaid = ("retired", "test_candles")
    recipe = {key: value for key, value in model.items() if key not in unsaid}
    recipe |= {"title": "Another", "wick": "flat-9", "fill": "180 g"}
    draw.add("wicks", "flat-9", {"series": "flat", "size": "9", "step": "9", "core": "cotton"})
    draw.add("recipes", "another", recipe)
    new = ["wicks/flat-9", "recipes/another"]
    cure = max(quantity(book["waxes"][wax]["cure"]) for wax in recipe_waxes(recipe)) / 24
    poured = day - timedelta(days=int(cure) + 30)
    needed = int(protocol_of(book)["test_candles"])
    for letter in "ABCDEF"[:needed]:
        made = plain_made(draw, recipe, poured) | {"candles": str(needed)}
        burn = {"recipe": "another", "candle": letter} | candle(draw, recipe, made, "clean")
        draw.add("burns", f"another-{letter.lower()}", burn)
        new.append(f"burns/another-{letter.lower()}")
    added = {f"{path}.md": write(book[path.split("/")[0]][path.split("/")[1]], rng) for path in new}
    return dict(files) | added


def shuffle(files: Mapping[str, str], rng: Random) -> Files:
    """Return the same facts: files in another order, keys reordered, units spelled otherwise."""
    paths = list(files)
    rng.shuffle(paths)
    return {path: rewrite(files[path], rng) for path in paths}
