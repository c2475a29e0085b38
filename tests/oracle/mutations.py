"""Changes to a studio's record texts, for the safety properties; each returns a changed copy."""

from collections.abc import Mapping
from datetime import date, timedelta
from random import Random

from .copies import pairs
from .cycle import is_seen, visible_cycles
from .draw import Draw
from .gone import visible_burns
from .honest import mend
from .match import matches, recipe_waxes, spec_days, spec_on
from .mutants import items_of
from .pantry import PAPERS
from .pour import candle, plain_made
from .protocol import protocol_of
from .read import Book, Record, day_of, quantity, read, split
from .spell import Pen, rewrite, write

Files = dict[str, str]


def known_hole(files: Mapping[str, str], path: str) -> bool:
    """Tell whether a verdict on the records that remain cannot show that this one is gone.

    The package needs no such exception: a count that does not fit is a fault of its records.

    With the count of test candles said, and said right, nothing of a recipe can go unseen. Left
    are: a burn whose recipe says no count, or one too few; a recipe that counts candles none of
    which is on file; a burn that spoke for a recipe that it does not name, or that was copied into
    one; and the first of two bills that list the same lot.
    """
    kind, _, name = path.removesuffix(".md").rpartition("/")
    book = read(files)
    if kind == "recipes":  # its count of test candles goes with it, when nothing else names it
        return "test_candles" in book["recipes"][name]
    if kind == "purchases":
        return True
    if kind != "burns":
        return False
    burn = book["burns"].pop(name)
    said = book["recipes"][burn["recipe"]].get("test_candles")
    left = [b for b in book["burns"].values() if b["recipe"] == burn["recipe"]]
    if said is None or int(said) == len(left):
        return True
    return _speaks_elsewhere(book, burn)


def _speaks_elsewhere(book: Book, burn: Record) -> bool:
    """Tell whether a burn is evidence for another recipe, or shares readings with its burns."""
    protocol, far = protocol_of(book), date.max
    mine = pairs(burn, far)
    return any(
        matches(book, recipe, burn["made"], protocol, day, failed=True)
        for other, recipe in book["recipes"].items()
        if other != burn["recipe"]
        for day in _spec_days(book)
    ) or any(
        other["recipe"] != burn["recipe"] and mine & pairs(other, far)
        for other in book["burns"].values()
    )


def _spec_days(book: Book) -> set[date]:
    """Return a day of each specification there ever was."""
    return {date(2020, 1, 1)} | {
        day_of(since)
        for records in book.values()
        for item in records.values()
        for since in spec_days(item)
    }


def forget_later(files: Mapping[str, str], day: date, rng: Random) -> Files:
    """Return the records without anything that is dated after the day.

    Incidents are numbered without a gap, so that a later one stays while an earlier one has a
    higher number; and a bill stays whose lot an incident names.
    """
    book = read(files)
    last = max(
        (int(i["number"]) for i in book.get("incidents", {}).values() if _is_past(i, day)),
        default=0,
    )
    named = {(i["about"], i["lot"]) for i in book.get("incidents", {}).values() if "lot" in i}
    kept = dict(files)
    for kind, records in book.items():
        for name, record in list(records.items()):
            path = f"{kind}/{name}.md"
            needed = _is_counted(kind, record, last) or _is_named(kind, record, named)
            if _is_gone(kind, record, day) and not needed:
                del records[name], kept[path]
            else:
                records[name] = _earlier(record, day)
    mend(book)
    for path in kept:
        kind, _, name = path.removesuffix(".md").rpartition("/")
        kept[path] = write(book[kind or "studio"][name], rng, split(files[path])[1])
    return kept


def _is_past(record: Record, day: date) -> bool:
    return day_of(record["on"]) <= day


def _is_counted(kind: str, record: Record, last: int) -> bool:
    return kind == "incidents" and int(record["number"]) < last


def _is_named(kind: str, record: Record, named: set[tuple[str, str]]) -> bool:
    lines = record["lines"] if kind == "purchases" else []
    return any((line["item"], line.get("lot")) in named for line in lines)


def _is_gone(kind: str, record: Record, day: date) -> bool:
    """Tell whether a day sees nothing of a record."""
    if kind == "burns":
        return not is_seen(record, day)
    return "on" in record and day_of(record["on"]) > day


def _earlier(record: Record, day: date) -> Record:
    """Return a record without its dated parts that are dated later."""
    known = {
        key: value for key, value in record.items() if key == "made" or not _is_later(value, day)
    }
    for key in PAPERS:
        if isinstance(known.get(key), list):
            known[key] = [entry for entry in known[key] if day_of(entry["on"]) <= day]
            if not known[key]:
                del known[key]
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
    if "flame" in cycle and rng.random() < 0.5:  # a reading that was due would end a doubt
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
    needed = int(protocol_of(book)["test_candles"])
    recipe |= {"title": "Another", "wick": "flat-9", "fill": "180 g", "test_candles": str(needed)}
    draw.add("wicks", "flat-9", {"series": "flat", "size": "9", "step": "9", "core": "cotton"})
    draw.add("recipes", "another", recipe)
    new = ["wicks/flat-9", "recipes/another"]
    cure = max(quantity(book["waxes"][wax]["cure"]) for wax in recipe_waxes(recipe)) / 24
    poured = day - timedelta(days=int(cure) + 30)
    for letter in "ABCDEF"[:needed]:
        made = plain_made(draw, recipe, poured) | {"candles": str(needed)}
        # of today's make, whatever was in force when it was poured
        said = {
            f"{kind}/{item}": str(spec_on(book[kind][item], day))
            for kind, item in items_of(recipe)
            if "spec_since" in book[kind][item]
        }
        made |= {"spec": said} if said else {}
        burn = {"recipe": "another", "candle": letter} | candle(draw, made, "clean")
        draw.add("burns", f"another-{letter.lower()}", burn)
        new.append(f"burns/another-{letter.lower()}")
    added = {f"{path}.md": write(book[path.split("/")[0]][path.split("/")[1]], rng) for path in new}
    return dict(files) | added


def shuffle(files: Mapping[str, str], rng: Random) -> Files:
    """Return the same facts: files in another order, keys reordered, units spelled otherwise."""
    paths = list(files)
    rng.shuffle(paths)
    return {path: rewrite(files[path], rng) for path in paths}
