"""How many test candles of each recipe will be on file once a table is brought in."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from handbook_builder.bringing.meanings import Guess, ident_of
from handbook_builder.bringing.written import Brought
from handbook_builder.reading.front import split
from handbook_builder.reading.nodes import Scalar
from handbook_builder.reading.records import Reading
from handbook_builder.tables.table import Table


@dataclass(frozen=True, slots=True)
class Counted:
    """What a recipe states, None where it states nothing, and what will then be on file.

    `then` is None where the table does not say which candle a row is of.
    """

    recipe: str
    stated: int | None
    then: int | None


def counted(
    table: Table, row: int, guesses: Sequence[Guess], reading: Reading
) -> tuple[Counted, ...]:
    """Return each recipe of a table of burns that states fewer candles than will be on file.

    `row` is that of the headers.
    """
    columns = {one.meant.key: at for at, one in enumerate(guesses, 1) if one.meant}
    if "recipe" not in columns:
        return ()
    found: dict[str, set[str]] = {}
    for recipe, candle in _rows(table, row, columns["recipe"], columns.get("candle")):
        found.setdefault(ident_of(recipe, "recipes", reading), set()).add(candle)
    return tuple(_short(found, reading))


def still_short(
    records: Iterable[Brought], counts: Mapping[str, int], reading: Reading
) -> tuple[Counted, ...]:
    """Return each recipe that test candles are brought of and that will count fewer than these.

    `counts` are those that the mapping states.
    """
    found: dict[str, set[str]] = {}
    for one in records:
        front, _ = split(one.text.encode(), "")
        entries = () if front is None else front.root.entries
        said = {key.text: value.text for key, value in entries if isinstance(value, Scalar)}
        if said.get("recipe") and said.get("candle") and said["recipe"] not in counts:
            found.setdefault(said["recipe"], set()).add(said["candle"])
    return tuple(_short(found, reading))


def _short(found: Mapping[str, set[str]], reading: Reading) -> Iterator[Counted]:
    for ident, candles in found.items():
        one = _of(ident, candles, reading)
        if one.stated is None or one.then is None or one.stated < one.then:
            yield one


def _rows(table: Table, row: int, recipe: int, candle: int | None) -> Iterator[tuple[str, str]]:
    """Yield the recipe and the candle of each row; a blank cell means the same as above."""
    above = {recipe: "", candle or 0: ""}
    for line in range(row + 1, len(table.rows) + 1):
        cells = {at: table.cell(line, at).text.strip() if at else "" for at in above}
        if any(cells.values()):
            above = {at: cells[at] or above[at] for at in above}
            if above[recipe]:
                yield above[recipe], above[candle or 0].upper()


def _of(ident: str, brought: set[str], reading: Reading) -> Counted:
    burns = reading.records.get("burns", {}).values()
    filed = {burn.candle for burn in burns if burn.recipe == ident}
    stated: int | None = getattr(
        reading.records.get("recipes", {}).get(ident), "test_candles", None
    )
    return Counted(ident, stated, None if "" in brought else len(filed | brought))
