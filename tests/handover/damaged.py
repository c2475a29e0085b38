"""Draws, from a seed, what may lie in an inbox: whole files, and every way of spoiling one."""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from tests.handover.kit import Sitting, sitting, small_code, stripped, summed
from tests.records_in_text import burn, proven

CANDLES: Final = ("A", "B", "C")
CYCLES: Final = 4


@dataclass(frozen=True)
class Drawn:
    """A file: of which candle, after how many of its cycles it begins, and how many it knows.

    `is_good` says that it is whole and true; any other may be taken only if it says the same.
    """

    name: str
    data: bytes
    candle: str
    since: int
    until: int
    has_end: bool
    is_good: bool


@cache
def whole(letter: str) -> str:
    """Return the record of a candle from first light to its end."""
    return proven()[f"burns/fig-{letter.lower()}.md"]


@cache
def known(letter: str, cycles: int) -> str:
    """Return the record of a candle after so many of its cycles.

    In its last one the readings that are due in a full cycle are said to be unread, as `log` says
    of a cycle that may be followed by others.
    """
    text = whole(letter).replace(
        "flame: 15 mm}", "flame: 15 mm, unread: [pool, wall, after_smoke]}"
    )
    return stripped(text, cycles)


@cache
def seen(letter: str, since: int) -> Sitting:
    """Return all that is read of a candle after so many cycles; every question is answered."""
    text = known(letter, CYCLES).replace(f"lit: {CYCLES}\n", "")
    ended = text.replace("---\n", "", 1)
    end = "end: {how: went_out, left: 4.0 g, vessel: sound, tilt: steady}\n"
    front = f"---\n{ended.removesuffix('---' + chr(10))}{end}---\n"
    found = sitting(front, f"fig-{letter.lower()}", since, small_code())
    return replace(found, as_read=range(1, max(len(found.cycles), 1) + 1))


def _session(rng: random.Random) -> str:
    return f"{rng.getrandbits(64):016x}"


# ---- Spoiling the bytes: the sum must tell.


def _cut(rng: random.Random, data: bytes) -> bytes:
    return data[: rng.randrange(len(data))]


def _flipped(rng: random.Random, data: bytes) -> bytes:
    found = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 5))):
        found[rng.randrange(len(found))] ^= 1 << rng.randrange(8)
    return bytes(found)


def _digit(rng: random.Random, data: bytes) -> bytes:
    at = rng.choice([at for at, byte in enumerate(data) if chr(byte).isdigit()])
    return data[:at] + str(rng.randrange(10)).encode() + data[at + 1 :]


def _lines(rng: random.Random, data: bytes, *, doubled: bool) -> bytes:
    lines = data.split(b"\n")
    for _ in range(rng.choice((1, 1, 2))):
        at = rng.randrange(len(lines))
        lines[at : at + 1] = [lines[at]] * 2 if doubled else []
    return b"\n".join(lines)


def _swapped(rng: random.Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    one, other = rng.sample(range(len(lines)), 2)
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def _inserted(rng: random.Random, data: bytes) -> bytes:
    at = rng.randrange(len(data))
    return data[:at] + rng.randbytes(rng.choice((1, 3, 40))) + data[at:]


SPOILT: Final[tuple[Callable[[random.Random, bytes], bytes], ...]] = (
    _cut,
    _flipped,
    _digit,
    lambda rng, data: _lines(rng, data, doubled=False),
    lambda rng, data: _lines(rng, data, doubled=True),
    _swapped,
    _inserted,
    lambda rng, data: data + rng.choice((data, b"x", b"\n---\n")),
    lambda rng, _data: rng.randbytes(rng.randrange(2000)),
)


# ---- Spoiling what a file says: its sum is right, and its content is not.


def _other_state(rng: random.Random, sat: Sitting) -> Sitting:
    return replace(sat, record=f"{rng.getrandbits(256):064x}")


def _other_cycle(rng: random.Random, sat: Sitting, **wrong: str) -> Sitting:
    if not sat.cycles:
        return _other_state(rng, sat)
    at = rng.randrange(len(sat.cycles))
    cycles = [{**one, **(wrong if number == at else {})} for number, one in enumerate(sat.cycles)]
    return replace(sat, cycles=cycles)


UNTRUE: Final[tuple[Callable[[random.Random, Sitting], Sitting], ...]] = (
    _other_state,
    lambda rng, sat: replace(sat, code=rng.choice(("ZYCL-4YLR-6X9V", "none", small_code()[:-1]))),
    lambda rng, sat: replace(sat, burn=rng.choice(("fig-z", "fog-a", "studio", "fig-a-2"))),
    lambda rng, sat: replace(sat, candle=rng.choice("DEXYZ")),
    lambda _rng, sat: replace(sat, written="2026-05-02 08:00"),
    lambda rng, sat: _other_cycle(rng, sat, on=rng.choice(("2026-05-02", "2027-03-16 09:30"))),
    lambda rng, sat: _other_cycle(rng, sat, flame=rng.choice(("22", "22 g", "-3 mm", "2,2 cm"))),
    lambda rng, sat: _other_cycle(rng, sat, wall=rng.choice(("52", "52 K", "delta 52 degC"))),
    lambda rng, sat: _other_cycle(rng, sat, after=rng.choice(("350", "350 ml", "one g", "1e9 g"))),
    lambda rng, sat: _other_cycle(rng, sat, seen="burning", burned=rng.choice(("4", "4 parsec"))),
    lambda _rng, sat: replace(sat, end={"how": "exploded"}),
    lambda _rng, sat: replace(sat, more={"recipe": "fig"}),
    lambda _rng, sat: replace(sat, session="mine"),
)


def inbox(seed: int, count: int, start: Mapping[str, int]) -> list[Drawn]:
    """Return what lies in an inbox while each candle's record has `start` of its cycles."""
    rng = random.Random(seed)  # noqa: S311 -- a test's own dice
    sessions = {(letter, since): _session(rng) for letter in CANDLES for since in range(CYCLES + 1)}
    return [_one(rng, number, sessions, start) for number in range(count)]


def _one(
    rng: random.Random,
    number: int,
    sessions: Mapping[tuple[str, int], str],
    start: Mapping[str, int],
) -> Drawn:
    letter = rng.choice(CANDLES)
    since = rng.choice((start[letter], start[letter], rng.randrange(CYCLES + 1)))
    sat = replace(seen(letter, since), session=sessions[letter, since])
    until = rng.randint(since, CYCLES)
    has_end = until == CYCLES and (since == CYCLES or rng.random() < 0.7)
    name = f"{rng.choice(('a', 'B', 'burn', 'Übung'))}-{number}.txt"
    way = rng.random()
    is_good = way < 0.25 and (until > since or has_end)
    if not is_good and way > 0.65:
        sat = rng.choice(UNTRUE)(rng, sat)
    shown = replace(sat, cycles=sat.cycles[: until - since], end=sat.end if has_end else None)
    shown = replace(shown, as_read=range(1, max(len(shown.cycles), 1) + 1))
    data = shown.text().encode()
    if not is_good and way <= 0.65:
        data = rng.choice(SPOILT)(rng, data)
    return Drawn(name, data, letter, since, until, has_end, is_good)


def other_texts() -> list[str]:
    """Return what is no file of this studio at all."""
    return [burn("A"), "Buy milk.\n", "", "---\n---\n", summed(["handover: 1"]), "\ufeff---\n"]
