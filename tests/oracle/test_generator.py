"""The generator reaches every verdict; its faults and mutations do what they say."""

from collections.abc import Iterable
from datetime import date
from random import Random
from typing import Any

import pytest

from . import mutations, series
from .candle import candle_verdict
from .cases import BURN, LATER, STUDIO, added
from .generate import studio
from .histogram import histogram
from .judge import judge
from .protocol import SHIPPED
from .read import front_matter, quantity, read
from .spell import Pen, respelled, rewrite

P, GAP, F = "pass", "incomplete", "fail"


def _draft(seed: int) -> series.Draft:
    rng = Random(seed)  # noqa: S311 - a repeatable draw
    poured = series.Poured(date(2026, 3, 1), 14, 70.0, 200.0)
    return series.clean(rng, series.rules_of(SHIPPED), poured)


def _verdict(draft: series.Draft) -> str:
    cycles, end = series.written(draft, Pen(draft.rng))
    files = read(STUDIO)
    files["burns"] = {"a": files["burns"]["a"] | {"cycles": cycles, "end": end}}
    return candle_verdict(
        files["burns"]["a"], files["vessels"]["jar"], files["waxes"], SHIPPED, LATER
    )


FAULTS = [
    *((name, fault, F) for name, fault in series.FAILS.items()),
    *((name, fault, GAP) for name, fault in series.GAPS.items()),
    *((name, fault, P) for name, fault in series.NEAR.items()),
]


@pytest.mark.parametrize(
    ("name", "fault", "expected"), FAULTS, ids=[f"{n}: {e}" for n, _, e in FAULTS]
)
def test_faults_do_what_they_say(name: str, fault: series.Fault, expected: str) -> None:
    """A generated candle is clean, and each fault put into one gives its verdict every time."""
    for seed in range(12):
        draft = _draft(seed)
        assert _verdict(draft) == P
        fault(draft)
        assert _verdict(draft) == expected, (name, seed)


def test_generated_studios_reach_everything() -> None:
    """Every status, code and verdict occurs, and enough products are approved to be of use."""
    found = histogram(range(120))
    statuses = {"retired", "suspended", "failed", "approved", "held", "in_test", "untested"}
    assert set(found["status"]) == statuses
    assert len(found["missing"]) == 13
    assert set(found["burn"]) == {"pass", "fail", "incomplete", "burning", "void"}
    assert set(found["cycle"]) == {"pass", "fail", "incomplete"}
    assert set(found["vessel"]) == {"cleared", "ask_first", "refused"}
    rare = [min(counted.values()) for counted in found.values()]
    assert min(rare) >= 3
    assert 0.2 < found["status"]["approved"] / found["status"].total() < 0.4


def test_a_seed_is_repeatable() -> None:
    """The same seed gives the same files in the same order, another seed others."""
    assert list(studio(3)[0].items()) == list(studio(3)[0].items())
    assert studio(3) != studio(4)


def _approved(told: dict[str, Any]) -> set[str]:
    return {name for name, p in told["products"].items() if p["status"] == "approved"}


def _same(left: dict[str, Any], right: dict[str, Any], names: Iterable[str]) -> bool:
    return all(left["products"][name] == right["products"][name] for name in names)


def test_mutations_keep_the_safety_properties_of_the_oracle() -> None:
    """Shuffling and strange evidence change nothing; bad news and lost burns never approve."""
    for seed in range(40):
        files, day = studio(seed)
        rng = Random(seed)  # noqa: S311 - a repeatable draw
        told = judge(files, day)
        assert judge(mutations.shuffle(files, rng), day) == told, seed
        more = judge(mutations.add_other_combination(files, day, rng), day)
        assert more["products"]["another"]["missing"] & {"too_few_passed", "candle_failed"} == set()
        assert _same(told, more, told["products"]), seed
        worse = mutations.add_failing_reading(files, day, rng)
        if worse is not None:
            assert _approved(judge(worse, day)) <= _approved(told), seed
        for path in files:
            if path.startswith("burns/") and not mutations.known_hole(files, path, day):
                left = judge(mutations.remove_record(files, path), day)
                assert _approved(left) <= _approved(told), (seed, path)


def test_damage_changes_the_bytes_of_one_record() -> None:
    """Cutting shortens one record, scribbling puts bytes into it that are no text."""
    rng = Random(1)  # noqa: S311 - a repeatable draw
    whole = mutations.encoded(STUDIO)
    for _ in range(30):
        cut = mutations.truncate(STUDIO, "burns/a.md", rng)
        assert whole["burns/a.md"].startswith(cut["burns/a.md"])
        assert len(cut["burns/a.md"]) < len(whole["burns/a.md"])
        marred = mutations.scribble(STUDIO, "burns/a.md", rng)
        assert len(marred["burns/a.md"]) == len(whole["burns/a.md"])
        assert {0, 255} & set(marred["burns/a.md"])
        assert {p: b for p, b in marred.items() if p != "burns/a.md"} == {
            p: b for p, b in whole.items() if p != "burns/a.md"
        }


def test_known_holes() -> None:
    """Only the last letter poured alone can go unseen, and not where the count is stated."""
    assert not mutations.known_hole(STUDIO, "burns/c.md", LATER)
    fourth = (
        STUDIO["burns/a.md"].replace("candle: A", "candle: D").replace("candles: 3", "candles: 1")
    )
    files = STUDIO | {
        "burns/d.md": fourth.replace("made: {on: 2026-03-01", "made: {on: 2026-03-02")
    }
    assert mutations.known_hole(files, "burns/d.md", LATER)
    assert not mutations.known_hole(
        added("recipes/cedar.md", "test_candles: 4", files), "burns/d.md", LATER
    )


def test_respelling_is_exact() -> None:
    """Another spelling of a quantity is the same quantity; what is no quantity stays."""
    rng = Random(5)  # noqa: S311 - a repeatable draw
    for text in [
        "412.6 g",
        "2 3/4 in",
        "2.75in",
        "3 h 50 min",
        "52.5 degC",
        "8 %",
        "7 fl oz",
        "2 weeks",
    ]:
        told = {respelled(text, rng) for _ in range(20)}
        assert {quantity(spelled) for spelled in told} == {quantity(text)}
        assert told != {text}
    assert respelled("a 12 g spoon", rng) == "a 12 g spoon"
    assert front_matter(rewrite(BURN, rng)).keys() == front_matter(BURN).keys()
