"""Whatever writes into a record keeps keys of the maker's own and attachments as they are."""

from pathlib import Path

import pytest

from handbook_builder.workshop import studio_in
from tests.bench.calls import bytes_of, called, studio_of
from tests.bench.test_log import GOOD, TODAY
from tests.handover.kit import hand_in, small_sitting
from tests.records_in_text import burn, proven, whole_life
from tests.reports.test_own_keys import with_own

pytestmark = pytest.mark.deep
OWN = 'x-shelf:   {row: 3,  "tag":   [a, "b: c"]}   # mine\nx-note: |\n  two\n\n  lines\n'
ENDED = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: 4}"
LETTER = "burns/fig-a/letter.txt"


def _studio(folder: Path, cycles: list[str], end: str = "") -> Path:
    files = {**proven(), "burns/fig-a.md": burn("A", cycles=cycles, end=end)}
    files |= {"helpers/ilse.md": "---\nmay: [burn]\n---\n"}
    studio = studio_of(folder, {path: with_own(text, OWN) for path, text in files.items()})
    (studio / "records" / LETTER).parent.mkdir(exist_ok=True)
    (studio / "records" / LETTER).write_bytes(b"as it came\r\n\xff")
    return studio


def _assert_kept(studio: Path, before: dict[str, bytes], changed: set[str]) -> None:
    """Assert that some records were changed, and that every own key is there to the letter."""
    after = bytes_of(studio / "records")
    assert {path for path in before if after.get(path) != before[path]} == changed
    assert after[LETTER] == before[LETTER]
    assert all(after[path].count(OWN.encode()) == 1 for path in before if path != LETTER)
    found, problems = studio_in(studio / "records")
    assert found is not None, problems


def test_what_log_adds(tmp_path: Path) -> None:
    """A cycle is added before them, and all of them stay."""
    studio = _studio(tmp_path, whole_life()[:1])
    before = bytes_of(studio / "records")
    done = called(studio, "log", "fig-a", *GOOD, *TODAY)
    assert done.exit_code == 0, done.output
    _assert_kept(studio, before, {"burns/fig-a.md"})


def test_what_an_amendment_changes(tmp_path: Path) -> None:
    """A value is mended in its place, and all of them stay."""
    studio = _studio(tmp_path, whole_life(), ENDED)
    before = bytes_of(studio / "records")
    done = called(studio, "log", "fig-a", "--amend", "2", "--flame", "23 mm", *TODAY)
    assert done.exit_code == 0, done.output
    _assert_kept(studio, before, {"burns/fig-a.md"})


def test_what_is_taken_from_the_bench(tmp_path: Path) -> None:
    """Neither is a word of theirs in the state that a file is made against."""
    studio = _studio(tmp_path, whole_life()[:1])
    before = bytes_of(studio / "records")
    hand_in(studio, small_sitting(1).text())
    done = called(studio, "take", "--as-read", *TODAY)
    assert done.exit_code == 0, done.output
    _assert_kept(studio, before, {"burns/fig-a.md"})


def test_what_is_signed_and_what_is_counted(tmp_path: Path) -> None:
    """A line of a helper's reading, and the counts of a recipe and of its candles."""
    studio = _studio(tmp_path, whole_life(), ENDED)
    before = bytes_of(studio / "records")
    assert (
        called(studio, "sign", "ilse", "running-a-burn-test", "--on", "2026-04-30").exit_code == 0
    )
    assert called(studio, "new", "burn", "fig").exit_code == 0
    after = bytes_of(studio / "records")
    assert after["helpers/ilse.md"] != before["helpers/ilse.md"]
    assert after["recipes/fig.md"] != before["recipes/fig.md"]
    assert all(after[path].count(OWN.encode()) == 1 for path in before if path != LETTER)
