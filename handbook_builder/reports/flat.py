"""A record as one line or several of a table: each value by its path, with the unit it is in.

The headers are the keys as records write them, `cycles.before (g)`, so that `handbook bring` reads
a table of ours without being told anything.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, is_dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final, cast

from handbook_builder import units
from handbook_builder.bringing.targets import BODY, rank_of, target_of
from handbook_builder.reading.fields import When
from handbook_builder.reading.kinds.making import RecipeFill
from handbook_builder.reading.kinds.trade import Amount
from handbook_builder.reading.shape import keys_of
from handbook_builder.tables.out import Sheet, Value

# The list of a kind whose entries are rows of their own.
ROWS: Final[Mapping[str, str]] = {"burns": "cycles", "purchases": "lines", "batches": "given"}
_ENDINGS: Final = {
    "_g_per_ml": "g/mL", "_days": "days", "_mm": "mm", "_ml": "mL", "_g": "g", "_h": "h",
    "_c": "degC", "_k": "delta degC", "_s": "s",
}  # fmt: skip
_BY_DIMENSION: Final = {units.MASS: "g", units.LENGTH: "mm", units.SHARE: "%",
                        units.DURATION: "min"}  # fmt: skip
_BOUGHT: Final = {units.MASS: "g", units.VOLUME: "mL", units.COUNT: "pcs"}
_NONE: Final = ("none",)
_UNSAID: Final = {".cas": "none", ".hazards": "unknown"}
_HAIR: Final = 8 * 2.0**-52  # what a conversion may be off


@dataclass(frozen=True, slots=True)
class Column:
    """A column: the path of its key, and the unit of its numbers."""

    path: str
    unit: str = ""

    @property
    def header(self) -> str:
        """Return what stands over it."""
        return f"{self.path} ({self.unit})" if self.unit else self.path


def sheet_of(name: str, kind: str, records: Iterable[Any], currency: str) -> Sheet:
    """Return the records of one kind as a table, `id` first, the note below the keys last."""
    rows: list[dict[Column, Value]] = []
    for record in records:
        rows += _rows(kind, record, currency)
    columns = sorted(
        dict.fromkeys(column for row in rows for column in row),
        key=lambda one: (
            one.path != "id",
            one.path == BODY,
            rank_of(kind, _ranked(kind, one.path)),
        ),
    )
    cells = tuple(tuple(row.get(column) for column in columns) for row in rows)
    return Sheet(name, tuple(one.header for one in columns), cells)


def _ranked(kind: str, path: str) -> tuple[str, ...]:
    target = target_of(kind, path)
    return (path,) if target is None else target.parts


def _rows(kind: str, record: Any, currency: str) -> Iterator[dict[Column, Value]]:  # noqa: ANN401 -- of any kind
    """Yield the rows of one record: numbers of the whole stand once, or their sum would lie."""
    listed = ROWS.get(kind, "")
    whole = dict(_values(kind, "", record, currency, but=listed))
    whole = {Column("id"): record.source.id, **whole}
    for key, value in record.source.own.items():
        whole |= dict(_own(key, value))
    if record.source.body.strip():
        whole[Column(BODY)] = record.source.body
    entries = getattr(record, listed) if listed else ()
    for number, entry in enumerate(entries or (None,)):
        own = dict(_values(kind, f"{listed}.", entry, currency)) if entry is not None else {}
        kept = whole if not number else {
            column: value for column, value in whole.items()
            if isinstance(value, str) and column.path != BODY
        }  # fmt: skip
        yield {**kept, **own}


def _own(path: str, value: Any) -> Iterator[tuple[Column, Value]]:  # noqa: ANN401 -- texts, lists and maps in each other
    """Yield what stands under a key of the maker's own, a column for each text in it."""
    if isinstance(value, Mapping):
        for name, held in value.items():
            yield from _own(f"{path}.{name}", held)
    elif isinstance(value, tuple):
        for number, held in enumerate(value, 1):
            yield from _own(f"{path}.{number}", held)
    elif value:
        yield Column(path), value


def _values(
    kind: str,
    above: str,
    shape: Any,  # noqa: ANN401 -- of any shape
    currency: str,
    but: str = "",
) -> Iterator[tuple[Column, Value]]:
    for key, one in keys_of(cast("type", type(shape))).items():
        if key != but or above:
            value = getattr(shape, one.field)
            yield from _of_key(kind, f"{above}{key}", one.field, value, currency)


def _of_key(
    kind: str,
    path: str,
    field: str,
    value: Any,  # noqa: ANN401 -- of any key
    currency: str,
) -> Iterator[tuple[Column, Value]]:
    if path.endswith(tuple(_UNSAID)) and not value and not isinstance(value, tuple):
        yield (
            Column(path),
            _UNSAID[f".{field}"],
        )  # what a component has none of, and is known not to
    elif isinstance(value, Mapping):
        target = target_of(kind, path)
        if not value and target is not None and target.known == _NONE:
            yield Column(path), "none"
        for name, held in value.items():
            within = f"{plain(name)} h" if isinstance(name, float) else name
            yield from _of_key(kind, f"{path}.{within}", field, held, currency)
    elif isinstance(value, tuple):
        yield from _listed(kind, path, field, value, currency)
    elif is_dataclass(value) and keys_of(cast("type", type(value))):
        yield from _values(kind, f"{path}.", value, currency)
    elif value is not None:
        yield _single(kind, path, field, value, currency)


def _listed(
    kind: str, path: str, field: str, value: tuple[Any, ...], currency: str
) -> Iterator[tuple[Column, Value]]:
    if value and all(isinstance(one, str) for one in value):
        yield Column(path), "; ".join(value)
        return
    for number, one in enumerate(value, 1):
        yield from _of_key(kind, f"{path}.{number}", field, one, currency)


def _single(  # noqa: PLR0911 -- one a sort of value
    kind: str,
    path: str,
    field: str,
    value: Any,  # noqa: ANN401 -- of any key
    currency: str,
) -> tuple[Column, Value]:
    """Return one value with its column; a quantity in the unit that the column says."""
    if isinstance(value, bool):
        return Column(path), "yes" if value else "no"
    if isinstance(value, When):
        moment = value.day if value.at is None else datetime.combine(value.day, value.at)
        return Column(path), moment
    if isinstance(value, Amount):
        return Column(path, _BOUGHT[value.dimension]), plain(value.value)
    if isinstance(value, RecipeFill):
        if value.mass_g is None:
            return Column(path), "to_line_hot" if value.hot else "to_line"
        return Column(path, "g"), plain(value.mass_g)
    if isinstance(value, Decimal):
        return Column(path, currency), value
    if isinstance(value, float):
        return _quantity(kind, path, field, value)
    return Column(path), value


def _quantity(kind: str, path: str, field: str, value: float) -> tuple[Column, Value]:
    target = target_of(kind, path)
    ending = next((unit for end, unit in _ENDINGS.items() if field.endswith(end)), "")
    dimension = target.dimension if target else None
    unit = ending or (_BY_DIMENSION.get(dimension, "") if dimension else "")
    if unit == "%":
        return Column(path, unit), plain(float(Decimal(repr(value)) * 100))
    return Column(path, unit), plain(value)


def plain(value: float) -> int | float:
    """Return a number without what a conversion left in its last digits; a whole one as whole."""
    short = float(f"{value:.12g}")
    near = short if abs(short - value) <= _HAIR * abs(value) else value
    return int(near) if near.is_integer() and abs(near) < 1e15 else near  # noqa: PLR2004 -- exact as a float
