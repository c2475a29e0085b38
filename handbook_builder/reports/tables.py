"""Every table of the handbook for a spreadsheet: the records themselves, and the figures.

Records stand as `flat.py` writes them. The figures are those of `figures --json`, a column a key,
with the unit in the header instead of in the name.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import Any, Final

from handbook_builder.derived.account import Account
from handbook_builder.reading.kinds.trade import Count
from handbook_builder.reading.records import KINDS
from handbook_builder.reports.figures import report
from handbook_builder.reports.flat import plain, sheet_of
from handbook_builder.reports.plain import fields_of
from handbook_builder.reports.reasons import Say
from handbook_builder.tables.out import Sheet, Value

_OWNERS: Final = frozenset({"suppliers", "purchases"})
_LEFT_OUT: Final = frozenset({"protocols", "stock"})  # rules are no rows; a count is one a thing
# What a thing is counted in, by the base unit of its amount: a column each.
_COUNTED_IN: Final = {"gram": "mass (g)", "milliliter": "volume (mL)", "dimensionless": "count"}
# What people wrote, and whom they named: no part of a table for the floor.
_PRIVATE: Final = frozenset(
    {"supplier", "by", "to", "note", "why", "what", "finding", "body", "breakage"}
)
_UNITS: Final = {
    "_g_per_h": "g/h", "_g_per_ml": "g/mL", "_ml": "mL", "_mm": "mm", "_g": "g", "_h": "h",
    "_c": "degC", "_oz": "oz",
}  # fmt: skip
_SHARES: Final = frozenset(
    {"load_on_wax", "share_of_total", "failure_upper_95", "coverage", "breakage", "freight_share",
     "duty_share", "margin"}
)  # fmt: skip
# Sums of the studio's currency, whatever else is a decimal number; the last part of a key.
_MONEY: Final = frozenset(
    {"cost", "duty", "each", "freight", "hour_cost", "hour_left", "hour_price", "landed_cost",
     "left", "margin_at_one_price", "price", "unit_cost"}
)  # fmt: skip
_WITHIN: Final = frozenset({"life_h", "life_to_stop_h", "proving"})
_HOURS: Final = frozenset({"hours", "work_hours"})
_LONGEST_DECIMAL: Final = 12  # digits of a sum that somebody wrote; the rest were divided
Row = Mapping[str, object]


def tables_of(account: Account, say: Say, clean: Callable[[str], str] | None) -> tuple[Sheet, ...]:
    """Return every table that has rows; with `clean` those of the floor edition, texts cleaned.

    The account of the floor edition has no money and neutral names already.
    """
    sheets = [*_records(account), *_figures(account, say)]
    if clean is not None:
        sheets = [_floor(one, clean) for one in sheets if one.name not in _OWNERS]
    return tuple(one for one in sheets if one.rows)


def _records(account: Account) -> Iterator[Sheet]:
    currency = account.studio.info.currency
    for kind in KINDS:
        if kind not in _LEFT_OUT:
            records = getattr(account.studio, kind).values()
            yield sheet_of(kind, kind, records, currency)
    yield _counts(account.studio.stock.values())


def _counts(records: Iterable[Count]) -> Sheet:
    """Return one row for each thing that was counted, its amount under the unit that it has."""
    rows = tuple(
        (record.source.id, record.on, str(one.item), one.lot,
         *(plain(one.quantity.value) if one.quantity.dimension.base == base else None
           for base in _COUNTED_IN))
        for record in records for one in record.counted
    )  # fmt: skip
    return Sheet("stock", ("id", "on", "item", "lot", *_COUNTED_IN.values()), rows)


def _figures(account: Account, say: Say) -> Iterator[Sheet]:
    told: Mapping[str, Any] = report(account, say)
    currency = account.studio.info.currency
    titles = {ident: {"title": one.recipe.title} for ident, one in account.judged.products.items()}
    yield _table("products", "product", told["products"], currency, titles)
    yield _table("candles", "candle", told["burns"], currency)
    yield _numbered("cycles", "candle", _each(told["burns"], "cycles"), currency)
    yield _table("vessel-figures", "vessel", told["vessels"], currency)
    yield _table("batch-figures", "batch", told["batches"], currency)
    yield _table("lots", "name", told["lots"], currency)
    if account.money is not None:
        yield _costs(told["products"], currency)
        yield _numbered("prices", "item", told["prices"].items(), currency)


def _each(told: Mapping[str, Any], key: str) -> Iterator[tuple[str, Iterable[Row]]]:
    for ident, one in told.items():
        yield ident, one[key]


def _table(
    name: str,
    first: str,
    told: Mapping[str, Any],
    currency: str,
    more: Mapping[str, Row] | None = None,
) -> Sheet:
    """Return one row a key, with a column for each single value below it."""
    rows = [{first: ident, **(more or {}).get(ident, {}), **dict(_single(one))}
            for ident, one in told.items()]  # fmt: skip
    return _sheet(name, rows, currency)


def _numbered(
    name: str, first: str, told: Iterable[tuple[str, Iterable[Row]]], currency: str
) -> Sheet:
    """Return one row an entry of each key's list, the entries counted from 1."""
    rows = [{first: ident, "number": number, **dict(_single(entry))}
            for ident, entries in told for number, entry in enumerate(entries, 1)]  # fmt: skip
    return _sheet(name, rows, currency)


def _costs(products: Mapping[str, Any], currency: str) -> Sheet:
    rows: list[Row] = [
        {"product": ident, "what": what, "cost": cost}
        for ident, one in products.items()
        for what, cost in one["cost_lines"].items()
    ]
    return _sheet("costs", rows, currency)


def _single(told: Row, above: str = "") -> Iterator[tuple[str, object]]:
    """Yield the single values of a report, those within others by both their names."""
    for key, value in told.items():
        name = f"{above}{key}"
        if is_dataclass(value) or (isinstance(value, Mapping) and key in _WITHIN):
            held = value if isinstance(value, Mapping) else fields_of(value)
            yield from _single(held, f"{name}: ") if not above else ()
        elif isinstance(value, list | tuple) and all(isinstance(one, str) for one in value):
            yield name, "; ".join(value)
        elif not isinstance(value, Mapping | list | tuple):
            yield name, value


def _sheet(name: str, rows: Iterable[Row], currency: str) -> Sheet:
    """Return rows as a table, without the columns in which nothing stands."""
    found = list(rows)
    keys = [key for key in dict.fromkeys(key for row in found for key in row)
            if any(row.get(key) not in {None, ""} for row in found)]  # fmt: skip
    headers = tuple(_header(key, currency) for key in keys)
    return Sheet(name, headers, tuple(tuple(_cell(key, row.get(key)) for key in keys)
                                      for row in found))  # fmt: skip


def _header(key: str, currency: str) -> str:
    """Return a key as a header: words, and the unit that its name ends in."""
    outer, colon, inner = key.partition(": ")
    ending = next((one for one in _UNITS if outer.endswith(one)), "")
    words = f"{outer.removesuffix(ending)}{colon}{inner}".replace("_", " ")
    unit = _unit(inner or outer, currency) or _UNITS.get(ending, "")
    return f"{words} ({unit})" if unit else words


def _unit(last: str, currency: str) -> str:
    """Return the unit of a key that says none: of a sum, a share or hours."""
    if last in _MONEY:
        return currency
    return "%" if last in _SHARES else "h" if last in _HOURS else ""


def _cell(key: str, value: object) -> Value:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, float | Decimal) and key.rpartition(": ")[2] in _SHARES:
        return plain(float(Decimal(str(value)) * 100))
    if isinstance(value, Decimal):
        short = len(value.as_tuple().digits) <= _LONGEST_DECIMAL
        return value if short else plain(float(value))
    if isinstance(value, float):
        return plain(value)
    return value if value is None or isinstance(value, str | int | date) else str(value)


def _floor(sheet: Sheet, clean: Callable[[str], str]) -> Sheet:
    """Return a table without what people wrote and whom they named."""
    kept = [at for at, one in enumerate(sheet.headers) if _is_open(one)]
    rows = tuple(
        tuple(clean(cell) if isinstance(cell, str) else cell for cell in (row[at] for at in kept))
        for row in sheet.rows
    )
    return Sheet(sheet.name, tuple(sheet.headers[at] for at in kept), rows)


def _is_open(header: str) -> bool:
    return header.partition(" (")[0].rpartition(".")[2] not in _PRIVATE
