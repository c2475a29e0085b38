"""The test board as one plain structure, for other programs: `due --json`.

Hours are hours, days are ISO dates, and a time of day stands only where the rest depends on it.
"""

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from handbook_builder.derived.board import Board, Outlook, Waiting
from handbook_builder.reading.fields import When
from handbook_builder.verdicts.reason import Reason

Say = Callable[[Reason], str]


def report(board: Board, say: Say) -> dict[str, Any]:
    """Return the whole board; `say` puts a reason into words."""
    return {
        "as_of": board.day.isoformat(),
        "cycles_a_day": board.per_day,
        "candles": {one.id: _candle(one, say) for one in board.waiting},
        "products": {one.product.recipe.source.id: _product(one, say) for one in board.outlooks},
        "may_burn": list(board.may_burn),
        "may_pour": list(board.may_pour),
    }


def _candle(one: Waiting, say: Say) -> dict[str, Any]:
    return {
        "recipe": one.burned.candle.seen.burn.recipe,
        "misuse": one.burned.candle.seen.burn.how,
        "stage": one.stage.value,
        "may_be_lit": one.may_be_lit,
        "may_be_lit_from": _when(one.next_lit),
        "cured_on": one.cured_on.isoformat(),
        "last_lit": _day(one.last_lit),
        "overdue_days": one.waited_days,
        "hours_left": None if one.left is None else one.left.hours_h,
        "cycles_left": one.cycles_left,
        "ends_on": _day(one.ends_on),
        "cannot_pass": _reasons(one.spoiled, say),
        "not_to_be_lit": _reasons(one.forbidden, say),
    }


def _product(one: Outlook, say: Say) -> dict[str, Any]:
    return {
        "status": one.product.status.value,
        "short": one.short,
        "counted_on": list(one.counted),
        "to_pour": one.to_pour,
        "poured_today_cured_on": _day(one.cured_on),
        "life_h": None if one.life is None else one.life.hours_h,
        "tests_through_on": _day(one.through_on),
        "not_before": _day(one.not_before),
        "approved_on": _day(one.approved_on),
        "also_missing": _reasons(one.others, say),
    }


def _reasons(reasons: Sequence[Reason], say: Say) -> list[dict[str, str]]:
    return [{"code": one.code, "what": say(one), "where": str(one.place)} for one in reasons]


def _day(when: date | None) -> str | None:
    return None if when is None else when.isoformat()


def _when(when: When) -> str:
    return when.day.isoformat() if when.at is None else f"{when.day}T{when.at:%H:%M}"
