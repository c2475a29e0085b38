"""What each column of a table most likely holds, by its header, its cells and its neighbours."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from handbook_builder import units
from handbook_builder.bringing.headers import OWN_ID, Meant, meant_by, suits
from handbook_builder.bringing.mapping import NAME
from handbook_builder.bringing.meanings import Guess, is_on_file, target_for
from handbook_builder.bringing.rows import headers_of
from handbook_builder.bringing.targets import target_of, without_number
from handbook_builder.bringing.values import H_MM
from handbook_builder.reading.records import Reading
from handbook_builder.tables.table import Sort, Table

_MASS: Final = re.compile(r"[0-9]*[.,]?[0-9]+\s*(?:%|g|oz|kg|lbs?)?")
_CLOCK: Final = re.compile(r"[0-9]{1,2}:[0-5][0-9]")
# The key of how much of an item goes in, by the kind of the records and the item's folder.
_MASSES: Final = {
    ("burns", "waxes"): "made.wax",
    ("burns", "fragrances"): "made.fragrance",
    ("burns", "colorants"): "made.colorant",
    ("recipes", "fragrances"): "fragrance",
    ("recipes", "colorants"): "colorant",
}
_SINGULAR: Final = {
    "vessels": "vessel", "wicks": "wick", "waxes": "wax", "suppliers": "supplier",
}  # fmt: skip


def guesses_of(
    table: Table, row: int, kind: str, reading: Reading, headers: Mapping[str, Any]
) -> list[Guess]:
    """Return a guess for each column; `row` is that of the headers, `headers` what people write."""
    found = []
    for at, header in enumerate(headers_of(table, row), 1):
        typed = " ".join(table.cell(row, at).text.split()) or header  # two may be typed alike
        found.append(_guess(table, row, at, meant_by(typed, kind, headers), header))
    suited = [_suited(one, kind) for one in found]
    return _once(_with_items(list(_by_cells(suited, kind, reading)), kind))


def _guess(table: Table, row: int, at: int, meant: Meant | None, header: str) -> Guess:
    cells = [table.cell(line, at) for line in range(row + 1, len(table.rows) + 1)
             if not table.is_blank(line)]  # fmt: skip
    texts = tuple(one.text.strip() for one in cells if one.text.strip() and not one.fault)
    typed = all(one.sort is not Sort.TEXT for one in cells if not one.is_blank)
    return Guess(header, meant, texts, typed, any(one.is_blank for one in cells))


def _suited(one: Guess, kind: str) -> Guess:
    """Return a guess without a meaning whose unit the header speaks against."""
    meant = one.meant
    is_off = meant is not None and not meant.names and not suits(meant, kind)
    return replace(one, meant=None) if is_off else one


def _by_cells(guesses: Sequence[Guess], kind: str, reading: Reading) -> Iterator[Guess]:
    """Yield the guesses as their cells correct them.

    A column of candles that holds recipes names those; hours with a colon are hours and minutes.
    """
    keys = {one.meant.key for one in guesses if one.meant}
    for one in guesses:
        key = one.meant.key if one.meant else ""
        if key == "candle" and "recipe" not in keys and _are_recipes(one, reading):
            yield replace(one, meant=Meant("recipe"))
        elif _are_clocks(one, kind):
            yield replace(one, meant=Meant(key, H_MM))
        else:
            yield one


def _are_recipes(one: Guess, reading: Reading) -> bool:
    return bool(one.texts) and all(is_on_file(text, "recipes", reading) for text in one.texts)


def _are_clocks(one: Guess, kind: str) -> bool:
    """Return whether a column holds hours burned as 4:05: no test cycle is four minutes long."""
    target = target_for(one, kind)
    return (
        target is not None
        and one.meant is not None
        and one.meant.unit is None
        and not one.typed
        and target.dimension is units.DURATION
        and without_number(one.meant.key) == "cycles.burned"
        and all(_CLOCK.fullmatch(text) for text in one.texts)
    )


def _with_items(guesses: Sequence[Guess], kind: str) -> Iterator[Guess]:
    """Yield the guesses with masses and lots named by the item of the column beside them."""
    columns = {one.meant.names: one.header for one in reversed(guesses)
               if one.meant and one.meant.names and not _is_mass(one)}  # fmt: skip
    for one in guesses:
        if one.meant is None or one.meant.key == OWN_ID:
            yield one
        else:
            yield replace(one, meant=_with_item(one, one.meant, columns, kind))


def _with_item(one: Guess, meant: Meant, columns: Mapping[str, str], kind: str) -> Meant:
    mass = _MASSES.get((kind, meant.names))
    if meant.key == "lines.quantity" and "unit" in columns and meant.unit is None:
        return replace(meant, unit=f"{{{columns['unit']}}}")
    if mass is not None and _is_mass(one):
        return replace(meant, key=f"{mass}.{_held(columns, meant.names)}", names="")
    if meant.names:
        return replace(meant, key=_own(meant, kind))
    key = re.sub(r"\{([a-z]+)\}", lambda hit: _held(columns, hit[1]), meant.key)
    return replace(meant, key=key)


def _own(meant: Meant, kind: str) -> str:
    """Return what a column of an item's names says by itself, besides naming it."""
    key = _SINGULAR.get(meant.names, "")
    return key if target_of(kind, key or "-") is not None else NAME


def _held(columns: Mapping[str, str], folder: str) -> str:
    return f"{{{columns[folder]}}}" if folder in columns else "?"


def _is_mass(one: Guess) -> bool:
    """Return whether a column that bears an item's name holds how much of it."""
    return bool(one.texts) and all(_MASS.fullmatch(text) for text in one.texts)


def _once(guesses: Iterator[Guess]) -> list[Guess]:
    """Leave every column of a key open that several mean: which of them is read, a person says."""
    found = list(guesses)
    by_key: dict[str, list[Guess]] = {}
    for one in found:
        if one.meant is not None and one.meant.key != NAME:
            by_key.setdefault(one.meant.key, []).append(one)
    rivals = {key for key, those in by_key.items() if len(those) > 1 and not _is_ours(key, those)}
    return [
        replace(one, meant=None, rival=one.meant.key)
        if one.meant is not None and one.meant.key in rivals
        else one
        for one in found
    ]


def _is_ours(key: str, those: Sequence[Guess]) -> bool:
    """Return whether columns are those of a table of ours: the key itself, a column a unit."""
    return all(one.header.partition(" (")[0] == key for one in those)
