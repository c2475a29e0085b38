"""Batches against the independent oracle: which are faults, and which may not leave, and why.

Invented studios prove nothing about candles; they prove that two readings of the rules agree.
"""

from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from handbook_builder.verdicts.batches import batch_verdict
from handbook_builder.verdicts.judge import judge
from handbook_builder.verdicts.poured import poured_on
from tests.oracle.batches import standing
from tests.oracle.generate import studio
from tests.oracle.pourings import with_batches
from tests.oracle.read import read
from tests.records_in_text import linked

SLICE = 4
SLICES = (2, 20, 200)
_SUSPENDED = {
    "open_incident", "open_incident_lot", "open_incident_lot_unknown", "proof_lot_suspended",
}  # fmt: skip
_DISPROVEN = {"candle_failed", "vessel_not_cleared", "oil_over_max_use", "load_over_max_load"}


def ours(files: Mapping[str, str], name: str, day: date) -> dict[str, Any]:
    """Return how the package lets a batch stand, in the words of the oracle."""
    found = linked(files)
    batch = found.batches[name]
    verdict = batch_verdict(judge(found, day), batch)
    codes = {one.code for one in verdict.reasons}
    lacking = poured_on(found, batch.recipe, batch.on).lacking
    return {
        "fault": {one.code for one in lacking},
        "suspended": bool(codes & _SUSPENDED),
        "disproven": bool(codes & _DISPROVEN),
        "against": [one.details["number"] for one in verdict.reasons
                    if one.code == "poured_while_suspended"],
        "before": [one.details["number"] for one in verdict.notes
                   if one.code == "poured_before_told"],
    }  # fmt: skip


def _seeds(part: int) -> range:
    return range(part * SLICE, (part + 1) * SLICE)


@pytest.mark.parametrize(
    "part",
    [
        *range(SLICES[0]),
        *(pytest.param(one, marks=pytest.mark.deep) for one in range(SLICES[0], SLICES[1])),
        *(pytest.param(one, marks=pytest.mark.long) for one in range(SLICES[1], SLICES[2])),
    ],
)
def test_the_oracle_agrees_on_batches(part: int) -> None:
    """What its proof lacked, whether it is suspended or disproven, and by which incidents."""
    for seed in _seeds(part):
        files, day = studio(seed)
        files = with_batches(files, seed)
        for name, batch in sorted(read(files)["batches"].items()):
            if date.fromisoformat(batch["on"]) <= day:
                assert ours(files, name, day) == standing(files, name, day), (seed, name)


@pytest.mark.deep
def test_what_is_drawn_is_worth_judging() -> None:
    """Every way to stand comes up often, or agreement on it would prove nothing."""
    seen: Counter[str] = Counter()
    for seed in range(100):
        files, day = studio(seed)
        files = with_batches(files, seed)
        for name, batch in sorted(read(files)["batches"].items()):
            if date.fromisoformat(batch["on"]) <= day:
                told = standing(files, name, day)
                seen["fault" if told.pop("fault") else "none"] += 1
                seen.update(key for key, holds in told.items() if holds)
    ways = ("fault", "none", "suspended", "disproven", "against", "before")
    assert {one: seen[one] > 5 for one in ways} == dict.fromkeys(ways, True), seen
