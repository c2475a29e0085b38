"""Test candles or recipes side by side: `compare --json`.

`sides`: [{id, kind (recipe | burn), candles: verdicts by id, cycles, hours, consumed_g,
rate_g_per_h}]; `factors`: [{factor, item, values: one a side, differs}], those that differ first;
`readings`, by name: for each cycle a value a side; `seen`: for each cycle the words of each side.
"""

from handbook_builder.derived.account import Account
from handbook_builder.derived.compare import Comparison, Side, came_to
from handbook_builder.reports.plain import fields_of


def compare_report(account: Account, found: Comparison) -> dict[str, object]:
    """Return what stands side by side."""
    return fields_of(found) | {"sides": [_side(account, side) for side in found.sides]}


def _side(account: Account, side: Side) -> dict[str, object]:
    found = came_to(account, side)
    return {
        "id": side.id,
        "kind": "recipe" if side.is_recipe else "burn",
        "candles": {candle.candle.id: candle.candle.verdict for candle in side.candles},
        "cycles": found.cycles,
        "hours": found.hours_h,
        "consumed_g": found.consumed_g,
        "rate_g_per_h": found.rate_g_per_h,
    }
