"""Records as text: keys between fences, and what is told below them."""

from collections.abc import Mapping
from random import Random
from typing import Final

_TOLD: Final = (
    "Even tops, and no frost on any of them.",
    "A draught from the door in the second hour; we hung the blanket after that.",
    "Smells of a sharpened pencil and a bowl of figs.",
    "The wick leans a little towards its seam: set the seam away from the wall.",
    "Poured a little cooler than usual, since the room was warm.",
    "**Better than the last one.** The pool reached the wall an hour sooner.",
    "The scale was set to zero before each weighing.",
    "Rims are sometimes nicked in the box: run a finger round each one.",
    "- stirred for two minutes\n- poured in one go\n- left under the rack overnight",
    "Ask for the sheet with each new lot, they do not send it unasked.",
)
PEOPLE: Final = ("Saturday market", "bookshop in the lane", "winter fair", "Harbour Lane Deli")


def told(rng: Random, most: int = 5) -> str:
    """Return a note of a few sentences; now and then it names somebody."""
    lines = [rng.choice(_TOLD) for _ in range(rng.randint(1, most))]
    if rng.random() < 0.1:
        lines.append(f"The {rng.choice(PEOPLE)} asked for more of them.")
    return "\n\n".join(lines)


def record(keys: Mapping[str, object], body: str) -> str:
    """Return a record: its keys in their order, each a line or a block that is written already."""
    lines = (f"{key}:{_value(value)}" for key, value in keys.items())
    return "\n".join(["---", *lines, "---", body, ""])


def _value(value: object) -> str:
    if isinstance(value, list):
        return "".join(f"\n  - {entry}" for entry in value)
    if isinstance(value, dict):
        return "".join(f"\n  {key}: {entry}" for key, entry in value.items())
    return f" {value}"


def flow(keys: Mapping[str, object]) -> str:
    """Return keys within braces, in one line."""
    return "{" + ", ".join(f"{key}: {value}" for key, value in keys.items()) + "}"
