"""The first proposal of a mapping, from the headers and the cells below them.

What the cells show is proposed; what is doubtful is left blank, and asked for in a comment.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from handbook_builder.bringing.counted import Counted, counted
from handbook_builder.bringing.due import due_unsaid
from handbook_builder.bringing.guesses import guesses_of
from handbook_builder.bringing.headers import OWN_ID, header_row
from handbook_builder.bringing.mapping import NAME, SKIP
from handbook_builder.bringing.meanings import (
    WHICH,
    Guess,
    target_for,
    tells_of_harm,
    words_of,
)
from handbook_builder.bringing.sums import rows_of_sums
from handbook_builder.bringing.targets import Form, Target, target_of, without_number
from handbook_builder.bringing.values import OPEN
from handbook_builder.reading.days import style_of
from handbook_builder.reading.kinds.making import Made
from handbook_builder.reading.records import KINDS, Reading
from handbook_builder.reading.shape import keys_of
from handbook_builder.tables.table import Table
from handbook_builder.writing.values import written

_COMMA: Final = re.compile(r"(?:^|[0-9]),[0-9]")
_POINT: Final = re.compile(r"(?:^|[0-9])\.[0-9]")
_THOUSANDS: Final = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{3})+(?![0-9])")
_DAYS: Final = frozenset({Form.DAY, Form.MOMENT})
_ID: Final = {
    "burns": ("recipe", "candle"), "purchases": ("on", "supplier"), "recipes": ("title",),
    "batches": ("recipe", "on"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Proposal:
    """The text of a mapping; `unknown` are the headers that nothing is known of."""

    text: str
    unknown: tuple[str, ...]


def proposal(
    table: Table, kind: str, reading: Reading, said: Mapping[str, Any], file: str
) -> Proposal:
    """Return a mapping of `table` to records of `kind`; `said` are the words of `bring`."""
    headers = said["headers"]
    top = [[one.text for one in row] for row in table.rows]
    row = header_row(top, kind, headers)
    guesses = guesses_of(table, row, kind, reading, headers)
    lines = [said["proposal"]["head"].format(file=file).rstrip("\n"), f"as: {kind}"]
    lines += list(_of_file(table, row))
    lines += list(_sums(table, row, guesses, kind, said["proposal"]))
    asked = tuple(_days_unmapped(guesses, kind))
    lines += list(_of_cells(guesses, kind, asked, said["proposal"]))
    lines += list(_id(guesses, kind, said["proposal"]))
    lines += list(_units(guesses, kind, said["proposal"]))
    lines += ["columns:"]
    for one in guesses:
        is_asked = asked and _may_be_days(one)
        lines += (
            [_asked_day(one, asked, said["proposal"])]
            if is_asked
            else list(_column(one, kind, reading, said))
        )
    lines += list(_always(guesses, kind, said["proposal"]))
    if kind == "burns":
        lines += list(_unsaid(guesses, reading, said["proposal"]))
        lines += list(_to_count(counted(table, row, guesses, reading), said["proposal"]))
    unknown = tuple(one.header for one in guesses if one.meant is None)
    return Proposal("".join(f"{line}\n" for line in lines), unknown)


def _of_file(table: Table, row: int) -> Iterator[str]:
    if len(table.sheets) > 1:
        others = ", ".join(one for one in table.sheets if one != table.sheet)
        yield f"sheet: {written(table.sheet)}  # the others: {others}"
    yield f"header: {row}"
    if table.encoding:
        yield f"encoding: {table.encoding}"
        yield "delimiter: tab" if table.delimiter == "\t" else f'delimiter: "{table.delimiter}"'


def _sums(
    table: Table, row: int, guesses: Sequence[Guess], kind: str, said: Mapping[str, str]
) -> Iterator[str]:
    """Yield that rows of sums are left out, and what each of them says."""
    found = rows_of_sums(table, row, guesses, kind, {*_ID.get(kind, ()), OWN_ID})
    if found:
        yield f"# {said['sums']}"
    yield from (f"#   {line}: {table.said_in(line)}" for line in found)
    if found:
        yield f"leave_out: [{', '.join(map(str, found))}]"


def _days_unmapped(guesses: Sequence[Guess], kind: str) -> Iterator[str]:
    """Yield each key of a day that is due and that no column is for."""
    mapped = {without_number(one.meant.key) for one in guesses if one.meant}
    for key in [*(key for key, _ in _due(kind)), *(["cycles.on"] if kind == "burns" else [])]:
        target = target_of(kind, key)
        if target is not None and target.form in _DAYS and not _is_mapped(key, mapped):
            yield key


def _may_be_days(one: Guess) -> bool:
    """Return whether nothing is known of a column but that its cells are days."""
    return one.meant is None and bool(one.texts) and style_of(one.texts) is not None


def _asked_day(one: Guess, keys: Sequence[str], said: Mapping[str, str]) -> str:
    """Return the line of a column of days, left blank: it may be one that is due."""
    comment = said["day"].format(shown=_shown(one), keys=", ".join(keys))
    return f"  {written(one.header)}:  # {comment}"


def _shown(one: Guess) -> str:
    return ", ".join(dict.fromkeys(one.texts[:3]))


def _of_cells(
    guesses: Sequence[Guess], kind: str, asked: Sequence[str], said: Mapping[str, str]
) -> Iterator[str]:
    days = [text for one in guesses for text in one.texts if not one.typed
            and (_form(one, kind) in _DAYS or (asked and _may_be_days(one)))]  # fmt: skip
    if days:
        style = style_of(days)
        yield f"dates: {style}" if style else f"dates:  # {said['dates'].format(day=days[0])}"
    numbers = [text for one in guesses for text in one.texts if not one.typed
               and _form(one, kind) in {Form.QUANTITY, Form.AMOUNT, Form.NUMBER}]  # fmt: skip
    decimal = _decimal(numbers)
    if decimal:
        yield f"decimal: {decimal}"
    elif decimal is None:
        odd = next(one for one in numbers if _THOUSANDS.search(one))
        yield f"decimal:  # {said['decimal'].format(number=odd)}"


def _decimal(numbers: Sequence[str]) -> str | None:
    """Return what the numbers show of their decimal sign; empty for nothing, None for doubt."""
    sure = [_THOUSANDS.sub("0", one) for one in numbers]
    if any(_COMMA.search(one) for one in sure):
        return "comma"
    if any(_POINT.search(one) for one in sure):
        return "point"
    return None if any(_THOUSANDS.search(one) for one in numbers) else ""


def _form(one: Guess, kind: str) -> Form | None:
    target = target_for(one, kind)
    return None if target is None else target.form


def _id(guesses: Sequence[Guess], kind: str, said: Mapping[str, str]) -> Iterator[str]:
    by_key = {one.meant.key: one.header for one in guesses if one.meant}
    own = next((one.header for one in guesses if one.meant and one.meant.key == OWN_ID), None)
    keys = _ID.get(kind, ())
    if own is not None:
        yield f"id: {written('{' + own + '}')}"
    elif keys and all(key in by_key for key in keys):
        yield f"id: {written('-'.join('{' + by_key[key] + '}' for key in keys))}"
    else:
        yield f"id:  # {said['id']}"


def _column(one: Guess, kind: str, reading: Reading, said: Mapping[str, Any]) -> Iterator[str]:
    name, told = f"  {written(one.header)}:", said["proposal"]
    if one.meant is None:
        yield f"{name}{_left(one, said)}"
        return
    key = NAME if one.meant.key == OWN_ID else one.meant.key
    words = words_of(one, kind, reading, said["headers"])
    parts = [f"key: {written(key)}", *_unit(one, kind), *_words(words)]
    if one.has_blanks and one.meant.key in {*_ID.get(kind, ()), OWN_ID} and one.texts:
        parts.append("down: yes")
    asked = _asked(one, kind, words, told) or _asked_folder(parts, told)
    yield (
        f"{name} {{{', '.join(parts)}}}{asked}"
        if len(parts) > 1 or asked
        else f"{name} {written(key)}"
    )


def _left(one: Guess, said: Mapping[str, Any]) -> str:
    """Return what stands after a header that no key took: blank where a person must tell it."""
    told = said["proposal"]
    shown = " ".join(", ".join(dict.fromkeys(one.texts[:3])).split())
    if one.rival and shown:
        return f"  # {told['rival'].format(key=one.rival, shown=shown)}"
    harm = next((text for text in one.texts if tells_of_harm(text, said["headers"])), None)
    if harm is not None:
        return f"  # {told['harm'].format(shown=' '.join(harm.split()))}"
    return f" {SKIP}  # {told['skip'].format(shown=shown)}" if shown else f" {SKIP}"


def _words(words: Mapping[str, str]) -> Iterator[str]:
    if words:
        pairs = (f"{written(text)}: {written(word)}" for text, word in words.items())
        yield f"words: {{{', '.join(pairs)}}}"


def _unit(one: Guess, kind: str) -> Iterator[str]:
    target = target_for(one, kind)
    if target is None or one.meant is None:
        return
    if one.meant.unit is not None:
        yield f"unit: {written(one.meant.unit)}"


def _lacks_unit(one: Guess, target: Target) -> bool:
    """Return whether any cell of a column is a number whose unit nobody states."""
    if target.form not in {Form.QUANTITY, Form.AMOUNT} or target.bare:
        return False
    bare = r"[0-9][0-9.,' ]*|[0-9 ]+/[0-9]+" + ("" if one.typed else "|[0-9]{1,3}:[0-9]{2}")
    return any(re.fullmatch(bare, text) for text in one.texts)


def _units(guesses: Sequence[Guess], kind: str, said: Mapping[str, str]) -> Iterator[str]:
    """Yield a blank line for each key whose columns hold bare numbers and state no unit."""
    lacking: dict[str, list[str]] = {}
    for one in guesses:
        target = target_for(one, kind)
        if target is None or one.meant is None or one.meant.unit is not None:
            continue
        if _lacks_unit(one, target):
            lacking.setdefault(without_number(one.meant.key), []).append(one.header)
    if lacking:
        yield f"# {said['unit']}"
        yield "units:"
    yield from (f"  {written(key)}:  # {', '.join(found)}" for key, found in lacking.items())


def _asked(one: Guess, kind: str, words: Mapping[str, str], said: Mapping[str, str]) -> str:
    """Return the comment of a column that somebody must fill in."""
    target = target_for(one, kind)
    if OPEN in words.values():
        known = ", ".join(target.known if target and target.known else ("yes", "no"))
        return f"  # {said['word'].format(known=known)}"
    is_open = one.meant is not None and "?" in one.meant.key
    return f"  # {said['which']}" if is_open else ""


def _always(guesses: Sequence[Guess], kind: str, said: Mapping[str, str]) -> Iterator[str]:
    """Yield what is due in every record and stands in no column, each left blank."""
    mapped = {one.meant.key for one in guesses if one.meant}
    lacking = [(key, expected) for key, expected in _due(kind) if not _is_mapped(key, mapped)]
    if lacking:
        yield f"# {said['always']}"
        yield "always:"
    for key, expected in lacking:
        yield f"  {key}:  # {expected}"
    if kind == "burns":
        yield f"whole:  # {said['whole']}"


def _is_mapped(key: str, mapped: set[str]) -> bool:
    return any(one == key or one.startswith(f"{key}.") for one in mapped)


def _due(kind: str) -> Iterator[tuple[str, str]]:
    """Yield each key that a record of a kind must have, with what is expected."""
    for key, one in keys_of(KINDS[kind]).items():
        target = target_of(kind, key)
        if one.required and key == "made":
            for inner, within in keys_of(Made).items():
                if within.required:
                    yield f"made.{inner}", within.expected
        elif one.required and target is not None:
            yield key, one.expected


def _asked_folder(parts: Sequence[str], said: Mapping[str, str]) -> str:
    """Return the comment of a column that names items of folders which nobody knows."""
    is_open = any(f"{WHICH}/" in part for part in parts)
    return f"  # {said['which_folder'].format(which=WHICH)}" if is_open else ""


def _unsaid(guesses: Sequence[Guess], reading: Reading, said: Mapping[str, str]) -> Iterator[str]:
    """Yield, as a comment, what the protocol makes due and no column says."""
    due = due_unsaid(reading, {one.meant.key for one in guesses if one.meant})
    if due:
        yield f"# {said['due']}"
    if due.in_cycles:
        yield f"#   {said['due_in_cycles'].format(keys=', '.join(due.in_cycles))}"
    if due.once:
        yield f"#   {said['due_once'].format(keys=', '.join(due.once))}"


def _to_count(found: Sequence[Counted], said: Mapping[str, str]) -> Iterator[str]:
    """Yield lines that count the test candles, behind marks that a person takes off."""
    if found:
        yield f"# {said['test_candles']}"
        yield "# test_candles:"
    for one in found:
        if one.then is None:
            yield f"#   {one.recipe}:"
        else:
            code = "count_unsaid" if one.stated is None else "count_short"
            comment = said[code].format(stated=one.stated, then=one.then)
            yield f"#   {one.recipe}: {one.then}  # {comment}"
