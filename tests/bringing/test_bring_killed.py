"""Whoever pulls the plug, and when: all of a table is brought in, or none of it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from handbook_builder.files import HALF_WRITTEN, heal, write_whole
from handbook_builder.reading.records import read_folder
from tests.bench.calls import called
from tests.bringing import killed_bring
from tests.bringing.kept import CYCLES
from tests.bringing.test_six_tables import mended, proposed, studio_for

ROOT = Path(__file__).parents[2]


def test_a_death_at_any_step_leaves_all_or_nothing_or_is_told(tmp_path: Path) -> None:
    """Nothing is published of what is half written, and the next call takes it back, or keeps it.

    Two new records and a recipe whose test candles are counted: killed before each step.
    """
    studio = studio_for(tmp_path, CYCLES)
    recipe = studio / "records" / "recipes" / "fig.md"
    recipe.write_text(recipe.read_text("utf-8").replace("test_candles: 2\n", ""), "utf-8")
    mapping = proposed(studio, CYCLES)
    text = mended(mapping.read_text("utf-8"), CYCLES.mended)
    mapping.write_text(f"{text}test_candles: {{fig: 2}}\n", "utf-8")
    run = subprocess.run(
        [sys.executable, killed_bring.__file__, str(studio), str(studio / CYCLES.name)],
        capture_output=True, text=True, check=True, cwd=ROOT,
    )  # fmt: skip
    deaths = json.loads(run.stdout)
    assert len(deaths) > 40
    assert [one["ended"] for one in deaths] == [-9] * (len(deaths) - 1) + [0]
    for death in deaths:
        # Half of it is never taken for a studio: the check says what to do.
        assert death["left"] != "between" or death["codes"] == ["half_written"], death
        assert death["healed"] in {"old", "new"}, death
        assert death["parts"] == [], death
    assert {one["left"] for one in deaths} == {"old", "new", "between"}
    assert {one["healed"] for one in deaths} == {"old", "new"}


def test_half_of_it_is_told_by_the_check(tmp_path: Path) -> None:
    """Whatever else there is, nothing is approved from it; `bring` mends it and says so."""
    studio = studio_for(tmp_path, CYCLES)
    mapping = proposed(studio, CYCLES)
    mapping.write_text(mended(mapping.read_text("utf-8"), CYCLES.mended), "utf-8")
    records = studio / "records"
    (records / HALF_WRITTEN).write_text("new 00 - burns/fig-a.md\n", "utf-8")
    assert [str(one) for one in read_folder(records, "records/").problems] == [
        (
            "records/.half-written:1:1: half of what was brought in stands here. "
            "Call 'handbook bring' again."
        )
    ]
    assert called(studio, "check").exit_code == 1
    said = called(studio, "bring", str(studio / CYCLES.name))
    assert "What it had written was taken back." in said.output
    assert not (records / HALF_WRITTEN).exists()


def test_what_was_changed_since_is_left_alone(tmp_path: Path) -> None:
    """Somebody's own text in the place of what was brought is nothing to take back."""
    new, changed = tmp_path / "new.md", tmp_path / "old.md"
    changed.write_bytes(b"old")
    with pytest.raises(FileNotFoundError):
        write_whole(tmp_path, {new: b"x", tmp_path / "no" / "where.md": b"y"}, {})
    assert sorted(one.name for one in tmp_path.iterdir()) == ["old.md"]
    journal = tmp_path / HALF_WRITTEN
    write_whole(tmp_path, {new: b"x"}, {changed: (b"old", b"newer")})
    assert (new.read_bytes(), changed.read_bytes()) == (b"x", b"newer")
    assert heal(tmp_path) is None
    journal.write_text("new 00 - new.md\n", "utf-8")
    assert heal(tmp_path) == (False, new)
    assert new.read_bytes() == b"x"
    assert journal.exists()
