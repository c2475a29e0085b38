"""What must agree in a studio's records, or they are at fault: counts, and misuse that shows."""

from .cycle import is_misuse
from .protocol import protocol_of
from .read import Book, Record, exceeds, poured_g, quantity

WARMEST_C = quantity("25 degC")


def misuse_shows(burn: Record, protocol: Record) -> bool:
    """Tell whether a record shows the misuse that it names, where it can.

    A fault is "how: long and cycles of which none exceeds cycle + tolerance, or how: hot_room and
    no room above 25 degC".
    """
    cycles = burn.get("cycles", [])
    if burn["how"] == "long":
        most = quantity(protocol["cycle"]) + quantity(protocol["cycle_tolerance"])
        lengths = [quantity(cycle["burned"]) for cycle in cycles if "burned" in cycle]
        return not cycles or any(exceeds(length, most) for length in lengths)
    if burn["how"] == "hot_room":
        rooms = [one["room"] for one in [burn, *cycles] if "room" in one]
        return any(exceeds(quantity(room), WARMEST_C) for room in rooms)
    return True


def too_light(burn: Record) -> bool:
    """Tell whether a record's first weight is "lighter than the wax in it"."""
    first = next(iter(burn.get("cycles", [])), {})
    return "before" in first and exceeds(poured_g(burn["made"]), quantity(first["before"]))


def mend(book: Book) -> None:
    """Bring counts into line with what is on file, and name another misuse where none shows."""
    protocol = protocol_of(book)
    burns = list(book.get("burns", {}).values())
    for burn in burns:
        if is_misuse(burn) and not misuse_shows(burn, protocol):
            burn["how"] = "draught"
    for name, recipe in book["recipes"].items():
        count = sum(burn["recipe"] == name for burn in burns)
        if count or "test_candles" in recipe:
            recipe["test_candles"] = str(count)
    studio, incidents = book["studio"]["studio"], book.get("incidents", {})
    if incidents or "incidents" in studio:
        studio["incidents"] = str(len(incidents))
