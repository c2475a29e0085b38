"""A thousand files, most of them spoilt: none is taken wrongly, none is lost, each has its reason.

The oracle knows nothing of how a file is read: a record may only be what `log` would have written
of the first cycles of the candle's true life, and it must be that of all whole files that reach it.
"""

import random
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from tests.bench.calls import called, studio_of
from tests.handover.damaged import CANDLES, CYCLES, Drawn, inbox, known, other_texts, seen
from tests.handover.kit import hand_in, log_words, taken
from tests.records_in_text import proven

ROUNDS = 50
FILES = 20


def _path(letter: str) -> str:
    return f"records/burns/fig-{letter.lower()}.md"


@pytest.fixture(scope="module")
def by_log(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[set[str]]]:
    """Return, for each candle, what `log` writes of its first cycles; last, with its end too."""
    studio = studio_of(tmp_path_factory.mktemp("log"), _studio(dict.fromkeys(CANDLES, 1)))
    return {letter: _written(studio, letter) for letter in CANDLES}


def _written(studio: Path, letter: str) -> list[set[str]]:
    sat = seen(letter, 1)
    path, found = studio / _path(letter), [set[str]()]  # a list that is empty is written otherwise
    for one in (*sat.cycles, None):
        found.append({path.read_text("utf-8")})
        if one is not None:
            _log(studio, sat.burn, log_words(one))
    _log(studio, sat.burn, log_words({}, sat.end))
    ended = {path.read_text("utf-8")}
    path.write_text(next(iter(found[CYCLES - 1])), "utf-8")
    _log(studio, sat.burn, log_words(sat.cycles[-1], sat.end))
    return [*found, ended | {path.read_text("utf-8")}]


def _log(studio: Path, burn: str, words: list[str]) -> None:
    assert called(studio, "log", burn, *words, "--as-read", "--as-of", "2026-05-01").exit_code == 0


def _studio(start: dict[str, int]) -> dict[str, str]:
    burns = {f"burns/fig-{one.lower()}.md": known(one, start[one]) for one in CANDLES}
    return {**proven(), **burns}


def _reached(letter: str, start: int, files: list[Drawn]) -> int:
    """Return how much of a candle's life whole files tell: its cycles, and one more for its end."""
    at = start
    for since in range(CYCLES + 1):
        ends = [one.until + one.has_end for one in files
                if one.is_good and one.candle == letter and one.since == since]  # fmt: skip
        at = max([at, *ends]) if since <= at else at
    return at


@pytest.mark.parametrize("seed", range(ROUNDS))
def test_a_thousand_files(seed: int, tmp_path: Path, by_log: dict[str, list[set[str]]]) -> None:
    """Twenty at a time, in one folder, under names in any order; then all of it once more."""
    rng = random.Random(seed)  # noqa: S311 -- a test's own dice
    start = {letter: rng.randrange(1, CYCLES) for letter in CANDLES}
    studio = studio_of(tmp_path, _studio(start))
    files = inbox(seed, FILES, start)
    for one in files:
        hand_in(studio, one.data, one.name)
    answer = taken(studio)
    for letter in CANDLES:
        record = (studio / _path(letter)).read_text("utf-8")
        allowed = by_log[letter]
        reached = [at for at, texts in enumerate(allowed) if record in texts]
        assert reached, f"{letter}: a record that log would not have written"
        assert reached[-1] >= _reached(letter, start[letter], files)
        # Whatever else was taken says the same as a whole file would.
        spoilt = [one.until + one.has_end for one in files if one.candle == letter]
        assert reached[0] <= max([start[letter], *spoilt])
    _nothing_lost(studio, files)
    _each_has_its_reason(studio, answer.stderr)
    records = {path: path.read_bytes() for path in (studio / "records").rglob("*.md")}
    again = taken(studio)
    assert "Taken: 0. On file already: 0." in again.stdout
    assert {path: path.read_bytes() for path in (studio / "records").rglob("*.md")} == records


def _nothing_lost(studio: Path, files: list[Drawn]) -> None:
    left = Counter(path.read_bytes() for path in (studio / "inbox").rglob("*") if path.is_file())
    assert left == Counter(one.data for one in files)


def _each_has_its_reason(studio: Path, said: str) -> None:
    told = {line.partition(":")[0] for line in said.splitlines()}
    stayed = {f"inbox/{path.name}" for path in (studio / "inbox").iterdir() if path.is_file()}
    assert stayed <= told
    assert all(line.partition(": ")[2].endswith(".") for line in said.splitlines())


@cache
def _drawn() -> tuple[Drawn, ...]:
    start = dict.fromkeys(CANDLES, 1)
    return tuple(one for seed in range(ROUNDS) for one in inbox(seed, FILES, start))


def test_the_thousand_are_of_every_sort() -> None:
    """What is drawn is not all spoilt, nor all whole; it is doubled, and longer and shorter."""
    drawn = _drawn()
    assert len(drawn) == 1000
    good = [one for one in drawn if one.is_good]
    assert 150 < len(good) < 300
    assert {(one.since, one.until) for one in good} >= {(1, 2), (1, 3), (1, 4), (0, 4)}
    assert any(one.has_end for one in good)
    assert any(count > 1 for count in Counter(one.data for one in good).values())


@pytest.mark.parametrize("number", range(len(other_texts())))
def test_what_is_none_of_them(number: int, tmp_path: Path) -> None:
    """A record, a note, nothing: it stays with its reason."""
    studio = studio_of(tmp_path, _studio(dict.fromkeys(CANDLES, 1)))
    hand_in(studio, other_texts()[number])
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 1
    assert answer.stderr.startswith("inbox/a.txt:")
