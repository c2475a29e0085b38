"""The test board as one plain structure, for other programs: `due --json`.

Hours are hours, days are ISO dates, and a time of day stands only where the rest depends on it.
"""

from collections.abc import Iterable

from handbook_builder.derived.board import Board, Outlook
from handbook_builder.derived.inquiries import Open
from handbook_builder.derived.waiting import Waiting
from handbook_builder.reading.fields import When
from handbook_builder.reports.reasons import Say, told


def report(board: Board, say: Say, waiting: Iterable[Open] = ()) -> dict[str, object]:
    """Return the whole board, and what waits for an answer; `say` puts a reason into words."""
    return {
        "as_of": board.day,
        "cycles_a_day": board.per_day,
        "candles": {candle.id: _candle(candle, say) for candle in board.waiting},
        "products": {
            outlook.product.recipe.source.id: _product(outlook, say) for outlook in board.outlooks
        },
        "asked": [_asked(one) for one in waiting],
        "may_burn": board.may_burn,
        "may_pour": board.may_pour,
    }


def _asked(one: Open) -> dict[str, object]:
    return {
        "item": one.item,
        "what": one.asked.what,
        "on": one.asked.on,
        "reminded": one.reminded,
        "days": one.days,
    }


def _candle(one: Waiting, say: Say) -> dict[str, object]:
    return {
        "recipe": one.burned.candle.seen.burn.recipe,
        "misuse": one.burned.candle.seen.burn.how,
        "rungs": one.burned.candle.seen.burn.made.rungs,
        "stage": one.stage,
        "may_be_lit": one.may_be_lit,
        "may_be_lit_from": _when(one.next_lit),
        "cured_on": one.cured_on,
        "last_lit": one.last_lit,
        "overdue_days": one.waited_days,
        "hours_left": None if one.left is None else one.left.hours_h,
        "cycles_left": one.cycles_left,
        "ends_on": one.ends_on,
        "cannot_pass": told(one.spoiled, say),
        "not_to_be_lit": told(one.forbidden, say),
    }


def _product(one: Outlook, say: Say) -> dict[str, object]:
    return {
        "status": one.product.status,
        "short": one.short,
        "counted_on": one.counted,
        "to_pour": one.to_pour,
        "poured_today_cured_on": one.cured_on,
        "life_h": None if one.life is None else one.life.hours_h,
        "tests_through_on": one.through_on,
        "not_before": one.not_before,
        "approved_on": one.approved_on,
        "also_missing": told(one.others, say),
    }


def _when(when: When) -> str:
    return when.day.isoformat() if when.at is None else f"{when.day}T{when.at:%H:%M}"
