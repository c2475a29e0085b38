"""Reasons made plain, so that a test can compare every part of them."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.judge import Judged, judge
from handbook_builder.verdicts.reason import Quantity, Reason
from tests.records_in_text import BASE, DAY, burn, linked


def told(reasons: Iterable[Reason]) -> list[tuple[str, int, dict[str, Any]]]:
    """Return code, line and details of each reason, quantities named with their unit."""
    return [(one.code, one.place.line, numbers(one)) for one in reasons]


def numbers(reason: Reason) -> dict[str, Any]:
    """Return the details of a reason, a quantity as a number whose name ends in its unit."""
    found: dict[str, Any] = {}
    for name, value in reason.details.items():
        if isinstance(value, Quantity):
            found[f"{name}_{value.unit}"] = value.value
        else:
            found[name] = value
    return found


def codes(reasons: Iterable[Reason]) -> list[str]:
    """Return the codes alone."""
    return [one.code for one in reasons]


def judged(files: Mapping[str, str], day: date = DAY) -> Judged:
    """Return the verdicts on a studio written as text."""
    return judge(linked(files), day)


def candle(day: date = DAY, files: Mapping[str, str] = BASE, **told_of: Any) -> CandleVerdict:  # noqa: ANN401
    """Return the verdict on one test candle A of the recipe `fig`; see `burn` for its parts."""
    laid_over = {**files, "burns/fig-a.md": burn(**told_of)}
    return judged(laid_over, day).burns["fig-a"].candle


def without(line: str, key: str) -> str:
    """Return the cycle `line` without the reading `key`."""
    parts = line.strip("{}").split(", ")
    return "{" + ", ".join(one for one in parts if not one.startswith(f"{key}:")) + "}"
