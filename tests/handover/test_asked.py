"""What is asked of a file before it is written, who may answer, and what no answer helps."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.bench.calls import bytes_of, called, spaced, studio_of
from tests.handover.kit import (
    hand_in,
    log_words,
    logged,
    small,
    small_sitting,
    stripped,
    taken,
    whole_record,
)
from tests.handover.test_take import with_other
from tests.records_in_text import BASE, proven

SAT = small_sitting(2)
TINY = with_other(with_other(SAT, 0, flame="2 mm"), 1, wall="3 degC")
FILE = "records/burns/fig-a.md"
ASKED = {
    1: "inbox/a.txt:12:5: Cycle 3: a flame of 2 mm goes out; it has 4 mm at least. If this is what "
    "was read, add --as-read; if not, mend it.\n",
    2: "inbox/a.txt:13:5: Cycle 4: the wall at 3 °C is colder than 15 °C, the least of a test "
    "room. If this is what was read, add --as-read; if not, mend it.\n",
}


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a small studio in which candle A has burned two of its four cycles."""
    return studio_of(tmp_path, small(2))


@pytest.mark.parametrize("answered", [(), (1,), (2,), (1, 2)])
def test_each_question_that_nobody_answered(studio: Path, answered: tuple[int, ...]) -> None:
    """The device may say of a cycle that it was read so; all others are asked about, all at once.

    One question that is left leaves all of the file.
    """
    hand_in(studio, replace(TINY, as_read=answered).text())
    before = bytes_of(studio)
    answer = taken(studio)
    shift = 1 if answered else 0
    expected = [
        said.replace(f":1{number + 1}:", f":1{number + 1 + shift}:")
        for number, said in ASKED.items()
        if number not in answered
    ]
    assert spaced(answer.stderr) == "".join(expected)
    assert answer.exit_code == (1 if expected else 0)
    assert (bytes_of(studio) == before) == bool(expected)


def test_what_is_asked_is_what_log_asks(tmp_path: Path) -> None:
    """By the same words, call after call."""
    by_log, by_take = (studio_of(tmp_path / one, small(2)) for one in ("log", "take"))
    asked = ""
    for one, end in zip(TINY.cycles, (None, {"how": "stopped"}), strict=True):
        words = ("log", "fig-a", *log_words(one, end), "--as-of", "2026-05-01")
        asked += called(by_log, *words).stderr.rpartition("Nothing was written.")[0]
        assert called(by_log, *words, "--as-read").exit_code == 0
    hand_in(by_take, replace(TINY, end={"how": "stopped"}).text())
    told = taken(by_take).stderr.splitlines()
    said = [one.partition(": ")[2].removesuffix(" If this is what was read, add --as-read; if "
                                                "not, mend it.") for one in told]  # fmt: skip
    assert said == asked.splitlines()
    assert len(said) == 4


def test_an_end_that_leaves_things_out(tmp_path: Path) -> None:
    """Asked of the end alone; in a file without a cycle the number 1 answers for it."""
    studio = studio_of(tmp_path, small(4))
    sat = replace(small_sitting(4), end={"how": "went_out", "left": "4 g"})
    hand_in(studio, sat.text())
    answer = taken(studio)
    assert (answer.exit_code, answer.stderr) == (
        1,
        (
            "inbox/a.txt:11:1: The end does not say: vessel, tilt. What is left out is not there "
            "later, and the candle cannot pass. If this is what was read, add --as-read; if not, "
            "mend it.\n"
        ),
    )
    hand_in(studio, replace(sat, as_read=[1]).text())
    assert taken(studio).exit_code == 0


def test_a_file_without_a_sum(studio: Path) -> None:
    """A line may be missing in it, and nothing would show it: somebody must answer for it."""
    lines = [one for one in SAT.text().splitlines() if not one.startswith("sum")]
    hand_in(studio, "".join(f"{one}\n" for one in lines))
    answer = taken(studio)
    assert (answer.exit_code, answer.stderr) == (
        1,
        (
            "inbox/a.txt:2:1: the file has no line 'sum', which would say that it came whole. Hand "
            "it over anew; if it was written by hand and says what was read, add --as-read.\n"
        ),
    )
    assert taken(studio, "--as-read").exit_code == 0
    assert (studio / FILE).read_text() == whole_record()


def test_line_breaks_and_a_mark_of_bytes_are_no_damage(studio: Path) -> None:
    """Mail and old editors change them, and nothing else."""
    hand_in(studio, b"\xef\xbb\xbf" + SAT.text().replace("\n", "\r\n").encode())
    assert taken(studio, "--as-read").exit_code == 0
    assert (studio / FILE).read_text() == whole_record()


# ---- How a candle stood before its first light.


def _untilted(text: str) -> str:
    return text.replace("  tilt: steady\n", "")


@pytest.fixture
def untilted(tmp_path: Path) -> Path:
    """Return a small studio in which candle A was never lit, and nobody said how it stood."""
    return studio_of(
        tmp_path, {**small(0), "burns/fig-a.md": _untilted(small(0)["burns/fig-a.md"])}
    )


@pytest.mark.parametrize("tilt", ["steady", "untried"])
def test_a_tilt_comes_with_the_first_cycle(untilted: Path, tmp_path: Path, tilt: str) -> None:
    """Where `log` writes it, and known when the file comes again."""
    sat = small_sitting(0, tilt=tilt)
    hand_in(untilted, sat.text())
    assert taken(untilted, "--as-read").exit_code == 0
    by_log = studio_of(tmp_path / "log", {"x.md": ""})
    studio_of(by_log, {**small(0), "burns/fig-a.md": _untilted(small(0)["burns/fig-a.md"])})
    (by_log / "records/x.md").unlink()
    logged(by_log, sat, "2026-05-01")
    assert (untilted / FILE).read_text() == (by_log / FILE).read_text()
    assert f"  tilt: {tilt}\n" in (untilted / FILE).read_text()
    hand_in(untilted, sat.text())
    assert "On file already: 1." in taken(untilted).stdout


def test_a_tilt_that_is_due(untilted: Path) -> None:
    """Nobody's word makes up for it: the candle is lit by now."""
    hand_in(untilted, small_sitting(0).text())
    answer = taken(untilted, "--as-read")
    assert (answer.exit_code, answer.stderr) == (
        1,
        (
            "inbox/a.txt:2:1: how candle A stood on a slope of 10 degrees before its first light "
            "is not on file. Add the line 'tilt: steady', 'fell' or 'untried'.\n"
        ),
    )


def test_a_tilt_that_fell_is_asked_about(untilted: Path) -> None:
    """As `log` asks: it fails the make-up for good."""
    hand_in(untilted, small_sitting(0, tilt="fell").text())
    answer = taken(untilted)
    assert "It fell over before its first light, which fails the make-up for good." in answer.stderr
    assert answer.exit_code == 1


@pytest.fixture
def unasked(untilted: Path) -> Path:
    """Return that studio under a protocol that asks for no tilt."""
    records = untilted / "records"
    (records / "protocols").mkdir()
    needs = "needs: [before, after, burned, pool, flame, wall, cycles]"
    (records / "protocols/house.md").write_text(f"---\n{needs}\n---\n")
    text = (records / "studio.md").read_text().replace("default", "house")
    (records / "studio.md").write_text(text)
    return untilted


def test_a_fall_is_written_also_where_no_rule_asks_for_it(unasked: Path) -> None:
    """It fails the candle under any rule, and is asked about all the same."""
    hand_in(unasked, small_sitting(0, tilt="fell").text())
    assert "It fell over before its first light" in taken(unasked).stderr
    assert taken(unasked, "--as-read").exit_code == 0
    assert "  tilt: fell\n" in (unasked / FILE).read_text()


def test_a_fall_that_the_record_lacks_is_never_passed_over(unasked: Path) -> None:
    """All cycles are on file already, and how it stood is not."""
    hand_in(unasked, small_sitting(0).text())
    assert taken(unasked, "--as-read").exit_code == 0
    hand_in(unasked, small_sitting(0, tilt="fell").text())
    answer = taken(unasked, "--as-read")
    assert answer.stderr.startswith(
        "inbox/a.txt:11:1: found tilt: fell. records/burns/fig-a.md holds all else of this file, "
        "and does not say how the candle stood. Write 'tilt: fell' under 'made' there"
    )
    assert answer.exit_code == 1
    assert (unasked / "inbox/a.txt").is_file()


def test_a_tilt_that_contradicts_the_record(studio: Path) -> None:
    """One of the two is wrong, and nobody but a person can tell which."""
    hand_in(studio, replace(SAT, tilt="fell").text())
    answer = taken(studio, "--as-read")
    assert answer.stderr == (
        "inbox/a.txt:11:1: found tilt: fell, and records/burns/fig-a.md says 'steady'. Mend the "
        "one that is wrong.\n"
    )


# ---- A record that went on otherwise.


def test_a_candle_at_its_end(tmp_path: Path) -> None:
    """What was read after it is no beginning of anything."""
    ended = stripped(whole_record(parted=True), 3).replace(
        "lit: 3",
        "end: {how: stopped, why: soot, left: 20 g, vessel: sound, tilt: steady, cycles: 3}",
    )
    studio = studio_of(tmp_path, {**proven(), "burns/fig-a.md": ended})
    hand_in(studio, replace(SAT, end=None).text())
    answer = taken(studio, "--as-read")
    assert answer.stderr == (
        "inbox/a.txt:11:1: records/burns/fig-a.md is at its end already "
        "(records/burns/fig-a.md:20), and this file holds more. Look at both, and write into the "
        "record what is missing there.\n"
    )


@pytest.mark.parametrize(
    ("key", "value"), [("how", "stopped"), ("left", "4.1 g"), ("vessel", "unseen"), ("why", "soot")]
)
def test_another_end_than_on_file(studio: Path, key: str, value: str) -> None:
    """Known is only what says the same."""
    logged(studio, SAT, "2026-05-01")
    hand_in(studio, replace(SAT, end={**(SAT.end or {}), key: value}).text())
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 1
    assert answer.stderr.startswith("inbox/a.txt:10:1: what this file was made against is not what")


def test_an_end_of_what_burned_on(studio: Path) -> None:
    """The record has a cycle after the one with which the file ends the candle."""
    logged(studio, SAT, "2026-05-01", ended=False)
    hand_in(studio, SAT.text(1, ended=True))
    answer = taken(studio, "--as-read")
    assert answer.stderr.startswith("inbox/a.txt:10:1: what this file was made against is not what")


def test_an_end_of_what_was_never_lit(tmp_path: Path) -> None:
    """As `log` has it."""
    studio = studio_of(tmp_path, small(0))
    hand_in(studio, replace(small_sitting(0), cycles=[]).text())
    answer = taken(studio, "--as-read")
    assert answer.stderr == (
        "inbox/a.txt:11:1: found an end but no cycle, here and in records/burns/fig-a.md: a candle "
        "that never burned has not ended.\n"
    )


def test_a_place_that_is_not_certain(tmp_path: Path) -> None:
    """A record whose list of cycles is written in a way that nothing is added to for certain."""
    text = stripped(whole_record(), 2).replace("lit: 2", '"lit": 2')
    studio = studio_of(tmp_path, {**proven(), "burns/fig-a.md": text})
    hand_in(studio, SAT.text())
    answer = taken(studio, "--as-read")
    assert answer.stderr.endswith(
        ": the place for it in records/burns/fig-a.md was not found for certain. Write it by "
        "hand.\n"
    )
    assert answer.exit_code == 1


def test_a_fault_of_the_burn_itself(tmp_path: Path) -> None:
    """It cannot be judged, and the fault is told with the file."""
    text = small(2)["burns/fig-a.md"].replace("scale: 0.1 g", "scale: 0.1")
    studio = studio_of(tmp_path, {**small(2), "burns/fig-a.md": text})
    hand_in(studio, SAT.text())
    answer = taken(studio, "--as-read")
    first, second = answer.stderr.splitlines()
    assert first == (
        "inbox/a.txt:7:1: the records are at fault (1), so that this file cannot be held against "
        "them. Run 'handbook check', mend what it names, then take this file."
    )
    assert second.startswith("records/burns/fig-a.md:18:8: found '0.1' without a unit")


def test_a_fault_of_another_record(tmp_path: Path) -> None:
    """As for `log`: a reading is not held up by it, and it is told."""
    recipe = BASE["recipes/fig.md"].replace("wax: soy", "wax: soja")
    studio = studio_of(tmp_path, {**small(2), "recipes/fig.md": recipe})
    hand_in(studio, SAT.text())
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 0
    assert (studio / FILE).read_text() == whole_record()
    assert "Other records are at fault (1); run 'handbook check'." in answer.stderr
