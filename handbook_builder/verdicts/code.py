"""The code of a combination: short, easy to copy, and hard to copy wrong.

Eleven symbols of a hash and one check symbol, in three groups of four. The 32 symbols leave out
I, O, 0 and 1. The check symbol works in the field of 32 elements: each step multiplies by a
primitive element, so that any one wrong symbol and any swap of two unlike neighbours shows
(the construction of a code over a finite field, as in ISO/IEC 7064's aims; the proof is tested
exhaustively).
"""

import hashlib
from typing import Final

SYMBOLS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
_VALUES: Final = {symbol: value for value, symbol in enumerate(SYMBOLS)}
_DATA: Final = 11
_GROUP: Final = 4
# x^5 + x^2 + 1, irreducible over GF(2): it makes five bits a field.
_FIELD: Final = 0b100101
_OVERFLOW: Final = 0b100000


def _step(state: int, symbol: int) -> int:
    doubled = (state ^ symbol) << 1
    return doubled ^ _FIELD if doubled & _OVERFLOW else doubled


def _checked(values: list[int]) -> int:
    state = 0
    for value in values:
        state = _step(state, value)
    return state


def code_of(canonical: str) -> str:
    """Return the code of a canonical text, such as `K7QM-3FZ2-9TXB`."""
    number = int.from_bytes(hashlib.sha256(canonical.encode()).digest())
    values = [number >> 5 * place & 31 for place in range(_DATA)]
    symbols = "".join(SYMBOLS[value] for value in [*values, _checked(values)])
    return "-".join(symbols[at : at + _GROUP] for at in range(0, len(symbols), _GROUP))


def plain(text: str) -> str:
    """Return a code as it is compared: in capitals, without its hyphens."""
    return text.replace("-", "").upper()


def is_code(text: str) -> bool:
    """Return whether `text`, with or without its hyphens, is a code that was copied right."""
    symbols = plain(text)
    if len(symbols) != _DATA + 1 or any(one not in SYMBOLS for one in symbols):
        return False
    return _checked([_VALUES[one] for one in symbols]) == 0
