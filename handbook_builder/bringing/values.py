"""What one cell says, written as a record writes it: its own digits, and a unit that is stated."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from handbook_builder import units
from handbook_builder.bringing.targets import Form, Target
from handbook_builder.reading.days import day_of, moment_of
from handbook_builder.tables.table import Cell, Sort

OPEN: Final = "?"  # of a word in the mapping: somebody must still tell what it means
H_MM: Final = "h:mm"  # a unit of columns: 4:05 is 4 h 5 min
_GROUPED: Final = r"[0-9]{1,3}(?:%s[0-9]{3})+"
_SIGN: Final = r"[+-\u2212]?"
_CLOCK: Final = re.compile(r"([0-9]{1,3}):([0-9]{2})(?::00)?")
_LEADING: Final = re.compile(
    r"(?P<number>[+\u2212-]?[.,]?[0-9][0-9.,'\u2019\u00a0\u202f ]*)(?P<rest>.*)", re.DOTALL
)
_FRACTION: Final = re.compile(r"([0-9]+ +[0-9]+/[0-9]+|[0-9]+/[0-9]+)\s*([^0-9\s].*)?")
_PARTED: Final = re.compile(r"\s*[,;\n]\s*")
_SPACES: Final = "'\u2019\u00a0\u202f "


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a cell has no value: a code, and what its sentence needs."""

    code: str
    details: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Rules:
    """What the mapping states about the cells of a column; `money` are signs of the currency."""

    unit: str | None
    decimal: str | None
    dates: str | None
    words: Mapping[str, str]
    money: tuple[str, ...] = ()


Value = str | list[str]


def value_of(cell: Cell, target: Target, rules: Rules) -> Value | Fault:
    """Return what a cell says, or why nothing can be made of it; an empty text for no value."""
    if cell.fault:
        return Fault(cell.fault, {"found": cell.text})
    if (meant := word_for(cell.text, rules.words)) is not None:
        if meant == OPEN:
            return _unsaid(cell, target)
        return [meant] if target.many and meant else meant
    if not target.many:
        return _single(cell, target, rules)
    found = [_single(Cell(one, cell.sort), target, rules) for one in _several(cell.text, target)]
    faults = [one for one in found if isinstance(one, Fault)]
    return faults[0] if faults else [str(one) for one in found if one]


def word_for(text: str, words: Mapping[str, str]) -> str | None:
    """Return what a cell's text is to mean, capitals aside; None where the mapping does not say."""
    told = {" ".join(one.split()).casefold(): meant for one, meant in words.items()}
    return told.get(" ".join(text.split()).casefold())


def _several(text: str, target: Target) -> Sequence[str]:
    """Return the values of a cell that holds several: words part at commas, numbers do not."""
    has_commas = target.whole or target.form in {Form.QUANTITY, Form.NUMBER}
    parts = re.split(r"\s*[;\n]\s*", text) if has_commas else _PARTED.split(text)
    return [one for one in parts if one.strip()]


def _single(cell: Cell, target: Target, rules: Rules) -> str | Fault:
    text = " ".join(cell.text.split()) if target.path != "body" else cell.text.strip()
    meant = word_for(text, rules.words)
    if meant == OPEN:
        return _unsaid(cell, target)
    if meant is not None or not text:
        return meant or ""
    return _READ[target.form](Cell(text, cell.sort), target, rules)


def _unsaid(cell: Cell, target: Target) -> Fault:
    known = ", ".join(target.known) or "yes, no"
    return Fault("unsaid", {"found": cell.text.strip(), "known": known})


def _word(cell: Cell, _target: Target, _rules: Rules) -> str | Fault:
    return cell.text


def _day(cell: Cell, _target: Target, rules: Rules) -> str | Fault:
    text = cell.text.removesuffix(" 00:00").removesuffix(" 00:00:00")
    return day_of(text, rules.dates) or _no_day(cell, rules)


def _moment(cell: Cell, _target: Target, rules: Rules) -> str | Fault:
    return moment_of(cell.text, rules.dates) or _no_day(cell, rules)


def _no_day(cell: Cell, rules: Rules) -> Fault:
    if rules.dates is None:
        return Fault("no_style", {"found": cell.text})
    return Fault("no_day", {"found": cell.text, "style": rules.dates})


def _count(cell: Cell, _target: Target, rules: Rules) -> str | Fault:
    number, _, rest = _parts(cell, rules)
    if isinstance(number, Fault):
        return number
    unit = rest or rules.unit or ""
    return f"{number} {unit}" if unit else number


def _number(cell: Cell, _target: Target, rules: Rules) -> str | Fault:
    """Return a plain number; a sign of the studio's own currency beside it says nothing more."""
    text = cell.text
    for sign in sorted(rules.money, key=len, reverse=True):
        text = text.removeprefix(sign).removesuffix(sign).strip()
    number, is_whole, rest = _parts(Cell(text, cell.sort), rules)
    if isinstance(number, Fault):
        return number
    if rest or not is_whole:
        return Fault("not_plain", {"found": cell.text})
    if rules.unit is not None and rules.unit not in rules.money:
        return Fault("other_money", {"found": rules.unit, "known": " or ".join(rules.money)})
    return number


def _amount(cell: Cell, target: Target, rules: Rules) -> str | Fault:
    return _quantity(cell, target, rules)


def _quantity(cell: Cell, target: Target, rules: Rules) -> str | Fault:
    clock = _CLOCK.fullmatch(cell.text)
    if clock and target.dimension is units.DURATION:
        if cell.sort is Sort.CLOCK or rules.unit == H_MM:
            minutes = f" {int(clock[2])} min" if int(clock[2]) else ""
            return f"{int(clock[1])} h{minutes}"
        return Fault("which_clock", {"found": cell.text})
    if fraction := _FRACTION.fullmatch(cell.text):
        return cell.text if fraction[2] else _united(cell, cell.text, target, rules)
    number, is_whole, rest = _parts(cell, rules)
    if isinstance(number, Fault):
        return number
    if is_whole and not rest:
        return _united(cell, number, target, rules)
    return f"{number} {rest}".strip() if is_whole else number


def _united(cell: Cell, number: str, target: Target, rules: Rules) -> str | Fault:
    """Return a number with the unit that the mapping states; without one it is no quantity."""
    if rules.unit == H_MM:
        return Fault("no_clock", {"found": cell.text})
    if rules.unit and target.dimension is units.DIFFERENCE:
        return f"delta {number} {rules.unit.removeprefix('delta').strip()}"
    if rules.unit:
        return f"{number} {rules.unit}"
    if target.bare:
        return number
    word = "amount" if target.dimension is None else target.dimension.word
    return Fault("no_unit", {"found": cell.text, "what": word})


def _parts(cell: Cell, rules: Rules) -> tuple[str | Fault, bool, str]:
    """Return a cell's number with a point, whether it begins with one, and what stands after it."""
    found = _LEADING.fullmatch(cell.text)
    if found is None:
        return cell.text, False, ""
    typed, rest = found["number"].strip(), found["rest"].strip()
    if cell.sort is Sort.NUMBER:
        return typed.replace("\u2212", "-"), True, rest
    number = pointed(typed, rules.decimal)
    if isinstance(number, str) and re.search(r"\s[0-9]", rest):  # "3 h 50 min", "1 lb 2 oz"
        return f"{number} {rest.replace(',', '.') if rules.decimal == 'comma' else rest}", False, ""
    return number, True, rest


def pointed(text: str, decimal: str | None) -> str | Fault:
    """Return a number with a point for its decimals and no signs between its thousands.

    `decimal` says which sign is which; a number that reads alike either way needs none.
    """
    sign, plain = re.fullmatch(r"([+\u2212-]?)(.*)", text).groups()  # type: ignore[union-attr]  # it matches all
    plain = plain.translate({ord(one): "'" for one in _SPACES})
    if not re.fullmatch(r"[0-9]+", plain) and decimal is None:
        return Fault("which_decimal", {"found": text})
    mark, between = (",", ".") if decimal == "comma" else (".", ",")
    whole, point, part = plain.partition(mark)
    if point and not whole:  # .28 is 0.28
        whole = "0"
    if not re.fullmatch(rf"[0-9]+|{_GROUPED % re.escape(between)}|{_GROUPED % chr(39)}", whole):
        return Fault("not_a_number", {"found": text, "decimal": decimal or "point"})
    if point and not re.fullmatch(r"[0-9]+", part):
        return Fault("not_a_number", {"found": text, "decimal": decimal or "point"})
    number = re.sub(r"[.,']", "", whole) + (f".{part}" if point else "")
    return ("-" if sign in {"-", "\u2212"} else "") + number


_READ: Final[Mapping[Form, Callable[[Cell, Target, Rules], str | Fault]]] = {
    Form.WORD: _word,
    Form.DAY: _day,
    Form.MOMENT: _moment,
    Form.QUANTITY: _quantity,
    Form.AMOUNT: _amount,
    Form.COUNT: _count,
    Form.NUMBER: _number,
}
