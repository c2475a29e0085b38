"""What may happen to a record: a line or a byte lost, doubled, swapped, cut off or mistyped.

Each change is drawn from a seed, so that one that finds something can be made again.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from random import Random
from typing import Final

_TYPED: Final = b"0123456789.,:-[]{}\"'# \n\tabcdefgilnoprstuvyABC%\xc2\xb0\x00\xff"


@dataclass(frozen=True, slots=True)
class Change:
    """One change to one file."""

    name: str
    path: str
    data: bytes


def drawn(files: Mapping[str, bytes], rng: Random) -> Change:
    """Return one change to one of the files."""
    path = rng.choice(sorted(files))
    name = rng.choice(sorted(_CHANGES))
    return Change(name, path, _CHANGES[name](files[path], rng))


def _lines(data: bytes) -> list[bytes]:
    return data.splitlines(keepends=True) or [b""]


def _lose_line(data: bytes, rng: Random) -> bytes:
    lines = _lines(data)
    del lines[rng.randrange(len(lines))]
    return b"".join(lines)


def _lose_lines(data: bytes, rng: Random) -> bytes:
    lines = _lines(data)
    first = rng.randrange(len(lines))
    del lines[first : first + rng.randint(2, 4)]
    return b"".join(lines)


def _double_line(data: bytes, rng: Random) -> bytes:
    lines = _lines(data)
    at = rng.randrange(len(lines))
    lines.insert(at, lines[at])
    return b"".join(lines)


def _swap_lines(data: bytes, rng: Random) -> bytes:
    lines = _lines(data)
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"".join(lines)


def _cut_off(data: bytes, rng: Random) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


def _lose_byte(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(data) or 1)
    return data[:at] + data[at + 1 :]


def _lose_bytes(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(data) or 1)
    return data[:at] + data[at + rng.randint(2, 12) :]


def _mistype(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(data) or 1)
    return data[:at] + bytes([rng.choice(_TYPED)]) + data[at + 1 :]


def _slip_in(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(data) + 1)
    return data[:at] + bytes([rng.choice(_TYPED)]) + data[at:]


def _swap_bytes(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(max(len(data) - 1, 1))
    return data[:at] + data[at : at + 2][::-1] + data[at + 2 :]


def _any_byte(data: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(data) or 1)
    return data[:at] + bytes([rng.randrange(256)]) + data[at + 1 :]


_CHANGES: Final[Mapping[str, Callable[[bytes, Random], bytes]]] = {
    "a line lost": _lose_line,
    "some lines lost": _lose_lines,
    "a line doubled": _double_line,
    "two lines swapped": _swap_lines,
    "cut off": _cut_off,
    "a byte lost": _lose_byte,
    "some bytes lost": _lose_bytes,
    "a byte mistyped": _mistype,
    "a byte slipped in": _slip_in,
    "two bytes swapped": _swap_bytes,
    "any byte": _any_byte,
}
