"""The verdicts against an independent oracle, and the safety properties.

The oracle under `tests/oracle` was written from the rules alone and shares no code with the
package. Invented studios prove nothing about candles; they prove that two readings of the rules
agree.
"""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

import pytest

from handbook_builder.faults.fit import misfits
from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import link
from handbook_builder.verdicts.judge import Judged, judge
from tests.oracle import mutations
from tests.oracle.generate import studio
from tests.oracle.judge import judge as oracle

# 2,100 studios in slices, so that a failure names a few dozen and not all.
SLICE = 100
SLICES = 21
DEMO = Path(__file__).parents[2] / "records"
DEMO_DAY = date(2026, 5, 1)
Verdicts = dict[str, Any]


def _package(files: Mapping[str, bytes], day: date) -> Judged | None:
    # The drawn studios pour batches of whatever they like. That is a fault of their records, with
    # tests of its own (tests/derived); here it would only hide verdicts.
    found, _ = link(read_texts(files))
    return None if found is None or any(misfits(found)) else judge(found, day)


def _encoded(files: Mapping[str, str]) -> dict[str, bytes]:
    return {path: text.encode() for path, text in files.items()}


def _ours(files: Mapping[str, str], day: date) -> Verdicts:
    judged = _package(_encoded(files), day)
    assert judged is not None, [str(one) for one in link(read_texts(_encoded(files)))[1]]
    return {
        "products": {
            ident: {
                "status": one.status.value,
                "missing": {reason.code for reason in one.missing},
                "passed": sorted(each.id for each in one.evidence.passed),
                "failed": sorted(each.id for each in one.evidence.failed),
                "burning": sorted(each.id for each in one.evidence.burning),
                "void": sorted(each.id for each in one.evidence.void),
            }
            for ident, one in judged.products.items()
        },
        "burns": {
            ident: {
                "verdict": one.candle.verdict.value,
                "cycles": [cycle.verdict.value for cycle in one.candle.cycles],
            }
            for ident, one in judged.burns.items()
        },
        "vessels": {ident: one.screening.value for ident, one in judged.vessels.items()},
    }


def _theirs(files: Mapping[str, str], day: date) -> Verdicts:
    found = oracle(files, day)
    keys = ("status", "missing", "passed", "failed", "burning", "void")
    products = {
        ident: {key: set(one[key]) if key == "missing" else one[key] for key in keys}
        for ident, one in found["products"].items()
    }
    burns = {
        ident: {"verdict": one["verdict"], "cycles": one["cycles"]}
        for ident, one in found["burns"].items()
    }
    return {"products": products, "burns": burns, "vessels": found["vessels"]}


def _approved(files: Mapping[str, bytes], day: date) -> set[str]:
    """Return the approved products; records at fault approve nothing."""
    judged = _package(files, day)
    if judged is None:
        return set()
    return {ident for ident, one in judged.products.items() if one.status == "approved"}


@pytest.mark.parametrize("part", range(SLICES))
def test_the_oracle_agrees_on_generated_studios(part: int) -> None:
    """Status, missing clauses, evidence, every cycle, every vessel: all the same."""
    for seed in range(part * SLICE, (part + 1) * SLICE):
        files, day = studio(seed)
        assert _ours(files, day) == _theirs(files, day), seed


@pytest.mark.parametrize("day", [date(2025, 10, 20), date(2026, 2, 1), DEMO_DAY])
def test_the_oracle_agrees_on_the_demo(day: date) -> None:
    """As of three days, on the demo studio's own files."""
    files = {
        path.relative_to(DEMO).as_posix(): path.read_text("utf-8")
        for path in sorted(DEMO.rglob("*.md"))
    }
    assert _ours(files, day) == _theirs(files, day)


def test_what_is_generated_is_worth_judging() -> None:
    """Every status comes up often, or agreement on it would prove nothing."""
    counts: dict[str, int] = {}
    for seed in range(200):
        for one in oracle(*studio(seed))["products"].values():
            counts[one["status"]] = counts.get(one["status"], 0) + 1
    states = ("approved", "held", "failed", "in_test", "untested", "suspended", "retired")
    assert {one: counts.get(one, 0) >= 10 for one in states} == dict.fromkeys(states, True)


SEEDS = range(5000, 5120)


@pytest.mark.parametrize("seed", SEEDS)
def test_removing_a_record_approves_nothing(seed: int) -> None:
    """No record, once gone, leaves behind an approval that was not there before.

    Left out is what no record set can show: see `mutations.known_hole`.
    """
    files, day = studio(seed)
    before = _approved(_encoded(files), day)
    for path in files:
        if not mutations.known_hole(files, path, day):
            after = _approved(_encoded(mutations.remove_record(files, path)), day)
            assert after <= before, path


@pytest.mark.parametrize("seed", SEEDS)
def test_damaging_a_record_approves_nothing(seed: int) -> None:
    """Cut off anywhere, or overwritten with what is no text, a record never approves."""
    files, day = studio(seed)
    before = _approved(_encoded(files), day)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    for path in files:
        assert _approved(mutations.truncate(files, path, rng), day) <= before, path
        assert _approved(mutations.scribble(files, path, rng), day) <= before, path


@pytest.mark.parametrize("seed", SEEDS)
def test_a_failing_reading_approves_nothing(seed: int) -> None:
    """A flame too high or a crack in any cycle never helps."""
    files, day = studio(seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    worse = mutations.add_failing_reading(files, day, rng)
    if worse is not None:
        assert _approved(_encoded(worse), day) <= _approved(_encoded(files), day)


@pytest.mark.parametrize("seed", SEEDS)
def test_evidence_of_another_combination_changes_nothing(seed: int) -> None:
    """A whole passing series in another wick leaves every verdict as it was."""
    files, day = studio(seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    more = _ours(mutations.add_other_combination(files, day, rng), day)
    before = _ours(files, day)
    for kind in ("products", "burns", "vessels"):
        assert {ident: more[kind][ident] for ident in before[kind]} == before[kind]


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_dated_later_is_seen(seed: int) -> None:
    """Judged as of a day, records with everything later taken out give the same evidence.

    Whether a candle is missing is asked of all files, so statuses are compared only where no
    whole record was taken out.
    """
    files, day = studio(seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    then = mutations.forget_later(files, day, rng)
    now, before = _ours(files, day), _ours(then, day)
    assert (now["burns"], now["vessels"]) == (before["burns"], before["vessels"])
    same = ("passed", "failed", "burning", "void")
    for ident, product in before["products"].items():
        assert {key: now["products"][ident][key] for key in same} == {
            key: product[key] for key in same
        }
    if then.keys() == files.keys():
        assert now == before


@pytest.mark.parametrize("seed", SEEDS)
def test_order_and_units_change_nothing(seed: int) -> None:
    """Files in another order, keys in another order, quantities in other units: the same."""
    files, day = studio(seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    assert _ours(mutations.shuffle(files, rng), day) == _ours(files, day)
