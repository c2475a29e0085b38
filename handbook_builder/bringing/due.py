"""What the protocol makes due of a test candle and a table has no column for."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Final

from handbook_builder.bringing.targets import without_number
from handbook_builder.reading.kinds.house import ONCE
from handbook_builder.reading.kinds.readings import READ_AS
from handbook_builder.reading.records import Reading
from handbook_builder.studio.protocol import Protocol, in_force

_UNREAD: Final = "cycles.unread"


@dataclass(frozen=True, slots=True)
class Due:
    """What is due and said nowhere: readings of each cycle, and keys of each candle."""

    in_cycles: tuple[str, ...]
    once: tuple[str, ...]

    def __bool__(self) -> bool:
        """Return whether anything is."""
        return bool(self.in_cycles or self.once)


def due_unsaid(reading: Reading, keys: Collection[str], unread: Collection[str] = ()) -> Due:
    """Return what is due in records of burns and in none of the `keys` that a table is read by.

    `unread` are the readings that the mapping says nobody took. A column that says so itself may
    speak of any.
    """
    if reading.studio is None:
        return Due((), ())
    protocol = in_force(reading.records.get("protocols", {}).get(reading.studio.protocol))
    said = {without_number(key) for key in keys}
    each = [] if _UNREAD in said and not unread else _readings(protocol, reading)
    in_cycles = [one for one in each if one not in unread and not _is_read(one, said)]
    once = [one for one in _once(protocol) if one not in said]
    return Due(tuple(dict.fromkeys(in_cycles)), tuple(once))


def _is_read(one: str, said: Collection[str]) -> bool:
    """Return whether a reading has a column; that of the room may be of all cycles together."""
    return f"cycles.{one}" in said or (one == "room" and one in said)


def _readings(protocol: Protocol, reading: Reading) -> list[str]:
    materials = {None, *(one.material for one in reading.records.get("vessels", {}).values())}
    failing = [one for one in protocol.limits if one.on_breach == "fail"]
    limited = [one.measure for one in failing if one.material in materials]
    needs = [one for one in protocol.needs if one not in ONCE]
    return [*needs, *(READ_AS.get(one, one) for one in limited)]


def _once(protocol: Protocol) -> Iterator[str]:
    yield "made.inside_diameter"
    if "tilt" in protocol.needs:
        yield "made.tilt"
    yield from ("end.how", "end.vessel", "end.tilt")
