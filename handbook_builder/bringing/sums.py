"""Rows of a table that only add up others, and nothing that a candle ever did."""

import re
from collections.abc import Collection, Sequence
from typing import Final

from handbook_builder import units
from handbook_builder.bringing.mapping import NAME
from handbook_builder.bringing.meanings import Guess, target_for
from handbook_builder.bringing.targets import Form
from handbook_builder.tables.table import Table

_SUMS: Final = frozenset({"total", "totals", "sum", "subtotal", "grand total", "summe", "gesamt"})
_NAMES: Final = frozenset({NAME, "title", "lines.item"})
_PLAIN: Final = re.compile(r"[^\w]*[0-9][0-9.,\u2019' ]*[^\w]*")  # perhaps with a currency's sign


def rows_of_sums(
    table: Table, row: int, guesses: Sequence[Guess], kind: str, keys: Collection[str]
) -> tuple[int, ...]:
    """Return the rows below `row` that say they are sums, and hold nothing else.

    What a record is called by, in columns of `keys`, is blank in them. A row with a day, a time or
    any reading but a mass or a sum of money is no sum, whatever its note says.
    """
    called = [at for at, one in enumerate(guesses, 1)
              if (one.meant.key if one.meant else one.rival) in keys]  # fmt: skip
    return tuple(
        line
        for line in range(row + 1, len(table.rows) + 1)
        if called
        and all(table.cell(line, at).is_blank for at in called)
        and _is_sum(table, line, guesses, kind)
    )


def _is_sum(table: Table, line: int, guesses: Sequence[Guess], kind: str) -> bool:
    filled = [at for at in range(1, table.width + 1) if not table.cell(line, at).is_blank]
    names = [at for at in filled if _key(guesses, at) in _NAMES]
    may_say = (at for at in (*filled[:1], *names) if not _is_seen(guesses, at, kind))
    saying = next((at for at in may_say if _says_so(table, line, at)), None)
    if saying is None:
        return False
    return all(at == saying or _adds_up(table, line, at, guesses, kind) for at in filled)


def _key(guesses: Sequence[Guess], at: int) -> str:
    meant = guesses[at - 1].meant if at <= len(guesses) else None
    return meant.key if meant is not None else ""


def _is_seen(guesses: Sequence[Guess], at: int, kind: str) -> bool:
    """Return whether a column holds words about a cycle: what is said there is of a cycle."""
    target = target_for(guesses[at - 1], kind) if at <= len(guesses) else None
    return target is not None and target.form is Form.WORD and target.parts[0] == "cycles"


def _says_so(table: Table, line: int, at: int) -> bool:
    return table.cell(line, at).text.strip().casefold().rstrip(": ") in _SUMS


def _adds_up(table: Table, line: int, at: int, guesses: Sequence[Guess], kind: str) -> bool:
    """Return whether a cell may be a sum: a mass, money, a count of what was bought or made."""
    target = target_for(guesses[at - 1], kind) if at <= len(guesses) else None
    is_plain = _PLAIN.fullmatch(table.cell(line, at).text.strip()) is not None
    if target is None or target.form is Form.COUNT:
        return is_plain and kind != "burns"
    is_mass = target.form is Form.QUANTITY and target.dimension is units.MASS
    return is_mass or target.form in {Form.AMOUNT, Form.NUMBER}
