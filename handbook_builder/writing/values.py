"""Values as YAML text: a value is written so that it is read back as the same characters."""

import json
import re
from collections.abc import Mapping, Sequence
from typing import Final

Value = str | Sequence[str] | Mapping[str, str | Sequence[str]]
Entry = Mapping[str, Value]

# What YAML takes for a plain scalar in brackets, by a rule narrower than YAML's own.
_PLAIN: Final = re.compile(r"[A-Za-z0-9](?:(?:[A-Za-z0-9.°%_/+-]|:(?=\d)| (?! |$))*)")


def is_text(value: Value) -> bool:
    """Return whether a value can be saved: half a character from a terminal cannot."""
    try:
        str(value).encode()
    except UnicodeEncodeError:
        return False
    return True


def written(value: Value) -> str:
    """Return one value, a list or a map of values, in brackets."""
    if isinstance(value, str):
        return _scalar(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_scalar(k)}: {written(v)}" for k, v in value.items()) + "}"
    return "[" + ", ".join(_scalar(one) for one in value) + "]"


def in_one_line(entry: Entry) -> str:
    """Return a map of values in curly brackets."""
    return "{" + ", ".join(f"{key}: {written(value)}" for key, value in entry.items()) + "}"


def _scalar(text: str) -> str:
    if _PLAIN.fullmatch(text):
        return text
    shown = json.dumps(text, ensure_ascii=False)  # YAML's double quotes take all that JSON's do
    return "".join(letter if letter.isprintable() else _escaped(letter) for letter in shown)


def _escaped(character: str) -> str:
    """Return a character that YAML takes for a line break, or refuses, as its number."""
    return f"\\U{ord(character):08X}"
