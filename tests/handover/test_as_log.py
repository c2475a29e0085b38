"""What is taken is what `log` writes, byte for byte: of the demo's candles and of drawn ones."""

import re
import shutil
import string
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from handbook_builder.derived.account import Account
from handbook_builder.workshop import account_in
from tests.bench.calls import called, front_of, studio_of
from tests.handover.kit import (
    Sitting,
    hand_in,
    logged,
    sitting,
    small,
    small_sitting,
    stripped,
    taken,
)
from tests.records_in_text import DAY

ROOT = Path(__file__).parents[2]
BURNS = sorted(one.stem for one in (ROOT / "records/burns").glob("*.md"))
HANDED = 3  # cycles
FILE = "records/burns/fig-a.md"


@cache
def _account() -> Account:
    account, problems = account_in(ROOT / "records", DAY, ROOT)
    assert account is not None, problems
    return account


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Path]:
    """Return a copy of the demo's records."""
    shutil.copytree(ROOT / "records", tmp_path / "demo" / "records")
    yield tmp_path / "demo"
    shutil.rmtree(tmp_path / "demo")


# Each takes some seconds: one in seven in every deep run, the others with the long ones.
CUT_BACK: Final = [
    ident if number % 7 == 0 else pytest.param(ident, marks=pytest.mark.long)
    for number, ident in enumerate(BURNS)
]


@pytest.mark.parametrize("ident", CUT_BACK)
def test_the_demo_is_taken_as_it_is_on_file(ident: str, demo: Path) -> None:
    """Each candle is cut back by up to three cycles, and handed over: by log, by take, as filed."""
    path = demo / "records" / "burns" / f"{ident}.md"
    whole = path.read_text("utf-8")
    cycles = len(front_of(whole).get("cycles", []))
    if not cycles:
        pytest.skip("it was never lit")
    then = stripped(whole, max(cycles - HANDED, 0))
    sat = sitting(whole, ident, max(cycles - HANDED, 0), _account().burn_codes[ident])
    path.write_text(then, "utf-8")
    logged(demo, sat, DAY.isoformat())
    by_log = path.read_text("utf-8")
    path.write_text(then, "utf-8")
    hand_in(demo, sat.text())
    answer = taken(demo, "--as-read")
    assert answer.exit_code == 0, answer.stderr
    assert path.read_text("utf-8") == by_log
    if _is_of_one_style(whole):
        assert by_log == whole


def _is_of_one_style(text: str) -> bool:
    """Return whether a record is written as `log` would: a line a cycle, its end after them.

    In it nothing was mended since, and it has a cycle before those that are handed over: an empty
    list is written in brackets.
    """
    front = text.split("---\n")[1]
    cycles = [one for one in front.splitlines() if one.startswith("  - {on: ")]
    end = front.splitlines()[-1]
    is_plain = len(cycles) == len(front_of(text)["cycles"]) > HANDED and "amended" not in front
    return is_plain and end.startswith("end: {how")


def _mass(grams: float) -> str:
    return f"{grams:.1f} g"


WORDS = st.text(string.printable + "äß°µ—“\u2028\x85🕯", min_size=1, max_size=40)
NOTES = WORDS.filter(lambda one: one.strip() and " ".join(one.split()).isprintable())
SEEN = st.lists(st.sampled_from(["mushrooming", "sooting", "wet_spots"]), min_size=1, unique=True)


@st.composite
def _cycles(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Draw cycles that can be read, in any unit and style, whatever else speaks against them."""
    found: list[dict[str, Any]] = []
    before = 400.0
    for number in range(draw(st.integers(1, 4))):
        after = before - draw(st.floats(2.0, 30.0))
        day = f"2026-04-{16 + number}"
        options: Mapping[str, st.SearchStrategy[Any]] = {
            "trimmed": st.sampled_from(["0.1 g", "0.01 oz"]),
            "burned": st.sampled_from(["4 h", "3 h 52 min", "240 min", "3.5 h"]),
            "before": st.just(_mass(before)),
            "after": st.just(_mass(after)),
            "pool": st.sampled_from(["70 mm", "7.0 cm", "2.8 in"]),
            "depth": st.sampled_from(["8 mm", "0 mm"]),
            "flame": st.sampled_from(["22 mm", "2.2 cm", "60 mm"]),
            "wall": st.sampled_from(["52 degC", "52 °C", "126 degF"]),
            "after_smoke": st.sampled_from(["8 s", "0.2 min"]),
            "room": st.sampled_from(["20 degC"]),
            "seen": SEEN,
            "checks": st.sampled_from([{"1 h": "41 mm"}, {"30 min": "2 cm", "2 h": "60 mm"}]),
            "note": NOTES,
        }
        kept = [key for key in options if key == "burned" or draw(st.booleans())]
        at = draw(st.sampled_from(["", " 09:30", " 7:05"]))
        found.append({"on": f"{day}{at}", **{key: draw(options[key]) for key in kept}})
        before = after
    return found


ENDS = st.fixed_dictionaries(
    {"how": st.sampled_from(["went_out", "stopped"])},
    optional={
        "why": st.sampled_from(["it soots", "a draught: too strong"]),
        "left": st.sampled_from(["4 g", "0.2 oz"]),
        "vessel": st.sampled_from(["sound", "cracked", "unseen"]),
        "tilt": st.sampled_from(["steady", "untried"]),
    },
)
STYLES = st.sampled_from(["lit", "unlit", "crlf", "blocks", "braces", "comments"])


def _in_a_block(cycle: re.Match[str]) -> str:
    """Return a cycle with a line for each key; no value in it has a comma."""
    return "  - " + "\n    ".join(cycle[1].split(", "))


def _styled(text: str, style: str) -> str:
    """Return a record as another hand might have written it."""
    if style == "unlit":
        return "".join(one for one in text.splitlines(keepends=True) if not one.startswith("lit: "))
    if style == "blocks":
        return re.sub(r"^  - \{(on: .*)\}$", _in_a_block, text, flags=re.MULTILINE)
    if style == "comments":
        return text.replace(
            "after_smoke: 8 s}\n", "after_smoke: 8 s}  # a warm day\n  # and so on\n"
        )
    return text


@settings(
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # to shrink one would take half an hour
)
@given(
    cycles=_cycles(), end=st.none() | ENDS, before=st.integers(0, 1), style=STYLES, data=st.data()
)
def test_drawn_cycles_are_taken_as_they_are_logged(  # noqa: PLR0913, PLR0917 -- each is drawn
    tmp_path: Path,
    cycles: list[dict[str, Any]],
    end: dict[str, str] | None,
    before: int,
    style: str,
    data: st.DataObject,
) -> None:
    """Any readings, in any number of files, the end with the last or by itself."""
    then = _styled(small(before)["burns/fig-a.md"], style)
    then_known = small_sitting(before)
    sat = Sitting("fig-a", "A", then_known.code, then_known.record, cycles, end)
    newline = "\r\n" if style == "crlf" else "\n"
    by_log, by_take = tmp_path / "log", tmp_path / "take"
    for one in (by_log, by_take):
        shutil.rmtree(one, ignore_errors=True)
        studio_of(one, small(before))
        (one / FILE).write_text(then, "utf-8", newline=newline)
    logged(by_log, sat, "2026-05-01")
    editions = data.draw(st.lists(st.integers(1, len(cycles)), max_size=2).map(sorted))
    editions = [one for one in editions if one < len(cycles)]
    for edition in [*editions, None]:
        hand_in(by_take, sat.text(edition, ended=edition is None))
        answer = taken(by_take, "--as-read")
        assert answer.exit_code == 0, answer.stderr
    assert (by_take / FILE).read_bytes() == (by_log / FILE).read_bytes()


def test_the_day_is_the_one_that_the_demo_is_read_as_of() -> None:
    """Nothing above is read as of another day than the demo's."""
    assert date(2026, 5, 1) == DAY
    assert called(ROOT, "check").exit_code == 0
