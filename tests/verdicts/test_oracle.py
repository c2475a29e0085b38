"""The verdicts against an independent oracle, and the safety properties.

The oracle under `tests/oracle` was written from the rules alone and shares no code with the
package. Invented studios prove nothing about candles; they prove that two readings of the rules
agree.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from itertools import chain
from pathlib import Path
from random import Random
from typing import Any

import pytest

from handbook_builder.faults.counts import miscounted
from handbook_builder.faults.fit import misfits
from handbook_builder.faults.poured import miscopied, untraceable
from handbook_builder.faults.sizes import impossible_sizes
from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import link
from handbook_builder.verdicts.judge import Judged, judge
from handbook_builder.verdicts.reason import Reason
from tests.oracle import mutants, mutations
from tests.oracle import test_oracle_codes as of_candles
from tests.oracle import test_oracle_products as of_products
from tests.oracle import test_oracle_vessels as of_vessels
from tests.oracle.cases import LATER, added, edited
from tests.oracle.generate import studio
from tests.oracle.judge import LISTS
from tests.oracle.judge import judge as oracle

# In slices, so that a failure names a few dozen and not all. The first few are in every run, some
# in the deep one, and all 5,000 in the long one.
SLICE = 50
SLICES = (4, 20, 100)
DEMO = Path(__file__).parents[2] / "records"
DEMO_DAY = date(2026, 5, 1)
Verdicts = dict[str, Any]


def _package(files: Mapping[str, bytes], day: date) -> tuple[Judged | None, list[str]]:
    # The drawn studios pour batches of whatever they like. That is a fault of their records, with
    # tests of its own (tests/trade); here it would only hide verdicts.
    found, problems = link(read_texts(files))
    if found is None:
        return None, [str(one) for one in problems]
    faults = chain(impossible_sizes(found), misfits(found), miscopied(found), untraceable(found))
    told = [str(one) for one in faults]
    return (None if told else judge(found, day)), told


def _encoded(files: Mapping[str, str]) -> dict[str, bytes]:
    return {path: text.encode() for path, text in files.items()}


def _codes(reasons: Iterable[Reason]) -> list[str]:
    return sorted(reason.code for reason in reasons)


def _burn(candle: Any) -> Verdicts:  # noqa: ANN401 -- a CandleVerdict, told by its attributes
    cycles = candle.cycles
    reasons = [(_codes(one.failures), _codes(one.gaps), _codes(one.watches)) for one in cycles]
    return {
        "verdict": candle.verdict.value,
        "failures": _codes(candle.failures),
        "gaps": _codes(candle.gaps),
        "watches": sorted(chain.from_iterable(watches for _, _, watches in reasons)),
        "cycles": [cycle.verdict.value for cycle in cycles],
        "reasons": reasons,
    }


def _told(judged: Judged) -> Verdicts:
    return {
        "products": {
            ident: {
                "status": one.status.value,
                "missing": {reason.code for reason in one.missing},
                **{
                    word: sorted(each.id for each in getattr(one.evidence, word))
                    for word in LISTS.values()
                },
            }
            for ident, one in judged.products.items()
        },
        "burns": {ident: _burn(one.candle) for ident, one in judged.burns.items()},
        "vessels": {
            ident: {
                "screening": one.screening.value,
                "against": _codes(one.against),
                "unknown": _codes(one.unknown),
            }
            for ident, one in judged.vessels.items()
        },
    }


def _ours(files: Mapping[str, str], day: date) -> Verdicts:
    judged, faults = _package(_encoded(files), day)
    assert judged is not None, faults
    return _told(judged)


def _approved(files: Mapping[str, bytes], day: date) -> set[str]:
    """Return the approved products; records at fault, or counts that do not fit, approve none."""
    judged, _ = _package(files, day)
    if judged is None or any(miscounted(judged.studio)):
        return set()
    return {ident for ident, one in judged.products.items() if one.status == "approved"}


def _parts(quick: int, deep: int, whole: int) -> list[Any]:
    """Return the first few for every run, more for the deep one, and all others for the long."""
    return [
        *range(quick),
        *(pytest.param(one, marks=pytest.mark.deep) for one in range(quick, deep)),
        *(pytest.param(one, marks=pytest.mark.long) for one in range(deep, whole)),
    ]


def _differences(ours: Verdicts, theirs: Verdicts) -> list[str]:
    """Return what differs, by kind and id, so that a failure can be read."""
    return [
        f"{kind}/{ident} {key}: {mine} here, {told[key]} by the oracle"
        for kind in ("products", "burns", "vessels")
        for ident, told in theirs[kind].items()
        for key, mine in ours[kind][ident].items()
        if mine != told[key]
    ]


def _agrees(files: Mapping[str, str], day: date) -> list[str]:
    ours, theirs = _ours(files, day), oracle(files, day)
    assert all(ours[kind].keys() == theirs[kind].keys() for kind in theirs)
    return _differences(ours, theirs)


@pytest.mark.parametrize("part", _parts(*SLICES))
def test_the_oracle_agrees_on_generated_studios(part: int) -> None:
    """Status, missing clauses, evidence, every code of every candle, cycle and vessel: the same."""
    for seed in range(part * SLICE, (part + 1) * SLICE):
        assert _agrees(*studio(seed)) == [], seed


def _hand_worked() -> list[Any]:
    """Return the studios of the oracle's own hand-worked cases, each at the edge of a clause."""
    told = [(one[0], edited("burns/a.md", *one[1])) for one in of_candles.ALL]
    told += [
        (f"misuse: {one[0]}", edited("burns/a.md", of_candles.AS, *one[1]))
        for one in of_candles.MISUSES
    ]
    tables = [("vessels/jar.md", one[0], one[1], one[2]) for one in of_vessels.VESSELS]
    tables += [(one[1], one[0], one[2], one[3]) for one in of_products.PRODUCTS]
    for path, clause, edits, lines in tables:
        files = edited(path, *edits)
        told.append((clause, added(path, lines, files) if lines else files))
    return [pytest.param(files, id=clause) for clause, files in told]


@pytest.mark.parametrize("files", _hand_worked())
def test_the_package_agrees_on_the_hand_worked_cases(files: dict[str, str]) -> None:
    """What pins the oracle, clause by clause and at each edge, holds of the package too."""
    assert _agrees(files, LATER) == []


@pytest.mark.parametrize("day", [date(2025, 10, 20), date(2026, 2, 1), DEMO_DAY])
def test_the_oracle_agrees_on_the_demo(day: date) -> None:
    """As of three days, on the demo studio's own files."""
    files = {
        path.relative_to(DEMO).as_posix(): path.read_text("utf-8")
        for path in sorted(DEMO.rglob("*.md"))
    }
    assert _agrees(files, day) == []


def test_what_is_generated_is_worth_judging() -> None:
    """Every status comes up often, or agreement on it would prove nothing."""
    counts: dict[str, int] = {}
    for seed in range(150):
        for one in oracle(*studio(seed))["products"].values():
            counts[one["status"]] = counts.get(one["status"], 0) + 1
    states = ("approved", "held", "failed", "in_test", "untested", "suspended", "retired")
    assert {one: counts.get(one, 0) >= 5 for one in states} == dict.fromkeys(states, True)


SEEDS = _parts(2, 12, 500)


@pytest.mark.parametrize("seed", SEEDS)
def test_removing_a_record_approves_nothing(seed: int) -> None:
    """No record, whichever it was, leaves behind an approval that was not there before."""
    files, day = studio(5000 + seed)
    before = _approved(_encoded(files), day)
    for path, left in mutants.removed(files).items():
        assert _approved(_encoded(left), day) <= before, path


@pytest.mark.parametrize("seed", SEEDS)
def test_damaging_a_record_approves_nothing(seed: int) -> None:
    """Cut off anywhere, or overwritten with what is no text, a record never approves."""
    files, day = studio(5000 + seed)
    before = _approved(_encoded(files), day)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    for path, cut in mutants.truncated(files, rng).items():
        assert _approved(_encoded(cut), day) <= before, path
        assert _approved(mutations.scribble(files, path, rng), day) <= before, path


@pytest.mark.parametrize("seed", SEEDS)
def test_a_void_or_a_copy_approves_nothing(seed: int) -> None:
    """Setting any candle aside, or writing it down twice, never helps, counts raised or not."""
    files, day = studio(5000 + seed)
    before = _approved(_encoded(files), day)
    for name, changed in (mutants.voided(files) | mutants.copied(files)).items():
        assert _approved(_encoded(changed), day) <= before, name


@pytest.mark.parametrize("seed", SEEDS)
def test_a_new_specification_takes_the_approval(seed: int) -> None:
    """Raising `spec` on any item of an approved product, with the day, un-approves it."""
    files, day = studio(5000 + seed)
    for product in _approved(_encoded(files), day):
        for item, changed in mutants.respecified(files, product, day).items():
            assert product not in _approved(_encoded(changed), day), (product, item)


@pytest.mark.parametrize("seed", SEEDS)
def test_saying_less_of_a_vessel_clears_nothing(seed: int) -> None:
    """Leaving out any optional key of a vessel never clears one that was not cleared."""
    files, day = studio(5000 + seed)
    before = _ours(files, day)["vessels"]
    for (vessel, key), changed in mutants.less_said(files).items():
        judged, faults = _package(_encoded(changed), day)
        assert (judged is None) == bool(faults)
        if judged is not None and before[vessel]["screening"] != "cleared":
            assert judged.vessels[vessel].screening.value != "cleared", (vessel, key)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_learned_later_changes_nothing(seed: int) -> None:
    """A density, a temperature or a price added to an item changes no verdict on file."""
    files, day = studio(5000 + seed)
    before = _ours(files, day)
    for fact, changed in mutants.better_known(files).items():
        assert _ours(changed, day) == before, fact


@pytest.mark.parametrize("seed", SEEDS)
def test_a_failing_reading_approves_nothing(seed: int) -> None:
    """A flame too high or a crack in any cycle never helps."""
    files, day = studio(5000 + seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    worse = mutations.add_failing_reading(files, day, rng)
    if worse is not None:
        assert _approved(_encoded(worse), day) <= _approved(_encoded(files), day)


@pytest.mark.parametrize("seed", SEEDS)
def test_evidence_of_another_combination_changes_nothing(seed: int) -> None:
    """A whole passing series in another wick leaves every verdict as it was."""
    files, day = studio(5000 + seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    more = _ours(mutations.add_other_combination(files, day, rng), day)
    before = _ours(files, day)
    for kind in ("products", "burns", "vessels"):
        assert {ident: more[kind][ident] for ident in before[kind]} == before[kind]


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_dated_later_is_seen(seed: int) -> None:
    """Judged as of a day, records with everything later taken out give the same evidence.

    Whether a candle is missing is asked of all files, so that clause is left out, and with it the
    statuses.
    """
    files, day = studio(5000 + seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    then = mutations.forget_later(files, day, rng)
    now, before = _ours(files, day), _ours(then, day)
    assert (now["burns"], now["vessels"]) == (before["burns"], before["vessels"])
    for ident, product in before["products"].items():
        for key in LISTS.values():
            assert now["products"][ident][key] == product[key]
        missing = now["products"][ident]["missing"] ^ product["missing"]
        assert missing <= {"missing_candle"}, ident


@pytest.mark.parametrize("seed", SEEDS)
def test_order_and_units_change_nothing(seed: int) -> None:
    """Files in another order, keys in another order, quantities in other units: the same."""
    files, day = studio(5000 + seed)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    assert _ours(mutations.shuffle(files, rng), day) == _ours(files, day)
