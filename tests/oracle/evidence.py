"""Dated evidence about an item: what of it counts, for the specification of the day."""

from datetime import date

from .match import spec_on
from .read import Record, day_of, listed


def seen_by(written: Record | list[Record] | None, day: date) -> list[Record]:
    """Return the entries "dated on or before the day", of whatever specification."""
    return [entry for entry in listed(written) if day_of(entry["on"]) <= day]


def spec_of(item: Record, entry: Record) -> int:
    """Return an entry's specification: "its own `spec`, else spec_as_of(item, entry.on)"."""
    return int(entry["spec"]) if "spec" in entry else spec_on(item, day_of(entry["on"]))


def counting(item: Record, key: str, day: date) -> list[Record]:
    """Return the entries under a key of an item that count on a day.

    "It counts on a day only when it is dated on or before the day and its specification ==
    spec_as_of(item, day). That holds for good and for bad entries."
    """
    now = spec_on(item, day)
    return [entry for entry in seen_by(item.get(key), day) if spec_of(item, entry) == now]
