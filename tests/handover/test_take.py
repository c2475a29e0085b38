"""What becomes of a file of cycles: taken, known, or left with its reason at its place."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tests.bench.calls import bytes_of, called, spaced, studio_of
from tests.handover.kit import (
    Sitting,
    hand_in,
    log_words,
    logged,
    small,
    small_sitting,
    summed,
    taken,
    whole_record,
)
from tests.records_in_text import burn

SAT = small_sitting(2)
FILE = "records/burns/fig-a.md"


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a small studio in which candle A has burned two of its four cycles."""
    return studio_of(tmp_path, small(2))


def _record(studio: Path) -> str:
    return (studio / FILE).read_text("utf-8")


def test_a_file_is_added_and_told_and_moved(studio: Path) -> None:
    """The record is the one that was there before it was cut, the verdict that of `log`."""
    hand_in(studio, SAT.text())
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 0
    assert _record(studio) == whole_record()
    said = spaced(answer.stdout)
    assert "Cycle 3 of candle A (fig): Passed." in said
    assert "Cycle 4 of candle A (fig): Passed." in said
    assert "The candle: Passed." in said
    assert said.endswith(
        f"Written: {FILE}, from inbox/a.txt\nKept as inbox/taken/a.txt.\n"
        "Taken: 1. On file already: 0. Left, each with its reason: 0.\n"
    )
    assert (studio / "inbox/taken/a.txt").read_text() == SAT.text()
    assert sorted(one.name for one in (studio / "inbox").iterdir()) == ["taken"]


def test_what_is_told_is_what_log_tells(tmp_path: Path) -> None:
    """The same lines on the cycles, of each call after the other."""
    by_log, by_take = (studio_of(tmp_path / one, small(2)) for one in ("log", "take"))
    said = ""
    for one, end in zip(SAT.cycles, (None, SAT.end), strict=True):
        words = ("log", "fig-a", *log_words(one, end), "--as-read", "--as-of", "2026-05-01")
        said += called(by_log, *words).stdout.rpartition("Written: ")[0]
    hand_in(by_take, SAT.text())
    assert taken(by_take, "--as-read").stdout.partition("Written: ")[0] == said


@pytest.mark.parametrize("parted", [False, True])
def test_the_record_that_is_expected_is_written_by_log(tmp_path: Path, *, parted: bool) -> None:
    """With the end in the last call, or in one of its own."""
    studio = studio_of(tmp_path, small(2))
    logged(studio, SAT, "2026-05-01", ended=not parted)
    if parted:
        words = ("log", "fig-a", *log_words({}, SAT.end), "--as-read", "--as-of", "2026-05-01")
        assert called(studio, *words).exit_code == 0
    assert _record(studio) == whole_record(parted=parted)


def test_the_same_file_twice(studio: Path) -> None:
    """By its own name and by another, before and after: nothing is added, and each is kept."""
    for name in ("a.txt", "b.txt"):
        hand_in(studio, SAT.text(), name)
    assert taken(studio, "--as-read").exit_code == 0
    hand_in(studio, SAT.text())
    answer = taken(studio)
    assert answer.exit_code == 0
    assert f"inbox/a.txt: all of it is in {FILE} already. Nothing was written." in answer.stdout
    assert _record(studio) == whole_record()
    kept = {one.name: one.read_text() for one in (studio / "inbox/taken").iterdir()}
    assert kept == dict.fromkeys(("a.txt", "b.txt", "a-2.txt"), SAT.text())


@pytest.mark.parametrize(
    "order", [(1, 2, None), (1, None), (2, 1, None), (None, 1, 2), (2, None, 1), (None, None)]
)
def test_longer_and_shorter_editions_in_any_order(
    studio: Path, order: tuple[int | None, ...]
) -> None:
    """Each holds the one before: whatever comes when, each cycle is added once, as by `log`."""
    parted = 2 in order and (None not in order or order.index(2) < order.index(None))
    for cycles in order:
        hand_in(studio, SAT.text(cycles, ended=None if cycles is None else False))
        assert taken(studio, "--as-read").exit_code == 0
        assert not (studio / "inbox/a.txt").exists()
    assert _record(studio) == whole_record(parted=parted)
    assert len(list((studio / "inbox/taken").iterdir())) == len(order)


def test_all_editions_at_once(studio: Path) -> None:
    """In a folder the longest of a session is taken first, so that its last call has the end."""
    for cycles, name in ((1, "a.txt"), (2, "b.txt"), (None, "c.txt")):
        hand_in(studio, SAT.text(cycles, ended=cycles is None), name)
    answer = taken(studio, "--as-read")
    assert answer.exit_code == 0
    assert "Taken: 1. On file already: 2. Left, each with its reason: 0." in answer.stdout
    assert _record(studio) == whole_record()


def test_an_end_alone(tmp_path: Path) -> None:
    """A candle that went out unseen: nothing was burned, and its end is all there is to tell."""
    studio = studio_of(tmp_path, small(4))
    sat = small_sitting(4)
    assert sat.cycles == []
    hand_in(studio, sat.text())
    assert taken(studio, "--as-read").exit_code == 0
    assert _record(studio) == whole_record(parted=True)
    hand_in(studio, sat.text())
    assert "On file already: 1." in taken(studio).stdout


def test_a_file_that_was_logged_meanwhile(studio: Path) -> None:
    """A maker who copied it off the telephone by hand: the same readings are not added again."""
    logged(studio, SAT, "2026-05-01")
    hand_in(studio, SAT.text())
    answer = taken(studio)
    assert (answer.exit_code, "On file already: 1." in answer.stdout) == (0, True)


def test_a_cycle_that_was_logged_after_it(tmp_path: Path) -> None:
    """An old file is still known when the candle has burned on since."""
    studio = studio_of(tmp_path, small(3))
    hand_in(studio, small_sitting(1).text(1, ended=False))
    answer = taken(studio)
    assert (answer.exit_code, "On file already: 1." in answer.stdout) == (0, True)
    assert _record(studio) == small(3)["burns/fig-a.md"]


def with_other(sat: Sitting, at: int, **more: object) -> Sitting:
    """Return what was read with other values in one of its cycles."""
    cycles = [dict(one) for one in sat.cycles]
    cycles[at] = {key: value for key, value in {**cycles[at], **more}.items() if value is not None}
    return replace(sat, cycles=cycles)


# What is handed over, and the answer: the place, and what is said there.
LEFT: dict[str, tuple[str, Callable[[], str], str]] = {
    "unknown burn": (
        "dangling",
        lambda: replace(SAT, burn="fig-aa").text(),
        ("7:1: found 'fig-aa', but there is no burns/fig-aa.md (did you mean 'fig-a'?). Mend the "
        "id, or add the record."),
    ),
    "another candle's letter": (
        "handover_candle",
        lambda: replace(SAT, candle="B").text(),
        "8:1: found candle 'B', but records/burns/fig-a.md is candle A.",
    ),
    "another code": (
        "handover_code",
        lambda: replace(SAT, code="ZYCL-4YLR-6X9V").text(),
        "9:1: found the code 'ZYCL-4YLR-6X9V', but records/burns/fig-a.md has ",
    ),
    "another candle": (
        "handover_changed",
        lambda: replace(SAT, record=small_sitting(0).record[::-1]).text(),
        "10:1: what this file was made against is not what records/burns/fig-a.md says today",
    ),
    "another first cycle than what was added since": (
        "handover_changed",
        lambda: with_other(small_sitting(1), 0, flame="23 mm").text(),
        "10:1: what this file was made against is not what records/burns/fig-a.md says today",
    ),
    "a day to come": (
        "handover_time",
        lambda: with_other(SAT, 1, on="2026-05-02").text(),
        "13:6: dated 2026-05-02, which is after 2026-05-01, the clock of this machine.",
    ),
    "an hour to come": (
        "handover_time",
        lambda: replace(SAT, written="2026-05-02 00:00").text(),
        "5:1: dated 2026-05-02 00:00, which is after 2026-05-01 23:59",
    ),
    "a unit of another sort": (
        "wrong_dimension",
        lambda: with_other(SAT, 0, flame="22 g").text(),
        "12:101: found '22 g', a mass, where a length is due, for example '68 mm'.",
    ),
    "no unit": (
        "no_unit",
        lambda: with_other(SAT, 0, after="348").text(),
        "12:59: found '348' without a unit; expected a mass, for example",
    ),
    "unread said by itself": (
        "unknown_key",
        lambda: with_other(SAT, 0, unread=["wall"]).text(),
        "12:141: found the unknown key 'unread' under 'cycles'",
    ),
    "a count in the end": (
        "unknown_key",
        lambda: replace(SAT, end={**(SAT.end or {}), "cycles": "4"}).text(),
        "14:64: found the unknown key 'cycles' under 'end'",
    ),
    "nothing in it": (
        "handover_empty",
        lambda: replace(SAT, cycles=[], end=None).text(),
        "2:1: found neither a cycle nor an end.",
    ),
    "a question for a cycle it does not have": (
        "out_of_range",
        lambda: replace(SAT, as_read=[3]).text(),
        "11:11: found '3'; expected a number of a cycle here, up to 2.",
    ),
    "a newer form": (
        "out_of_range",
        lambda: SAT.text().replace("handover: 1", "handover: 2").replace("sum: ", "more: "),
        "2:11: found '2'; expected 1; what a newer program wrote, a newer one reads.",
    ),
    "no kind": (
        "not_a_choice",
        lambda: summed(["handover: 1", "kind: cycle"]),
        ("3:7: found 'cycle' for 'kind'; expected one of cycles, batch, incident (did you mean "
        "'cycles'?)."),
    ),
    "another file behind it": (
        "handover_after",
        lambda: SAT.text() * 2,
        "17:1: found text after the second line '---', where the file ends.",
    ),
    "one digit off": (
        "handover_damaged",
        lambda: SAT.text().replace("348.0", "343.0", 1),
        "15:6: the file is not as it was written: its line 'sum' says '",
    ),
    "a line lost": (
        "handover_damaged",
        lambda: "\n".join(SAT.text().split("\n")[:11] + SAT.text().split("\n")[12:]),
        "14:6: the file is not as it was written: its line 'sum' says '",
    ),
    "cut": (
        "unclosed_front",lambda: SAT.text()[:-4], "16:1: the keys have no end; expected a"),
    "cut early": (
        "unclosed_front",lambda: SAT.text()[:40], "4:1: the keys have no end; expected a"),
    "empty": (
        "empty_file",lambda: "", "1:1: the file is empty; expected a record that begins"),
    "a note of somebody": (
        "no_front",
        lambda: "Buy milk.\n", "1:1: expected the record to begin with a line '---'; found 'Buy"
    ),
    "a record": (
        "handover_none",
        lambda: burn("A"), "1:1: this is no file that was handed over: it has no key 'handover'."
    ),
    "too much": (
        "too_big",
        lambda: summed([f"# {'x' * 98}"] * 2100), "1:1: the file is larger than any record needs."
    ),
    "no text": (
        "not_text",lambda: SAT.text().replace("A", "\udcff", 1), "8:9: the file is not UTF-8 text"),
    "a note that no line of a record holds": (
        "too_big",
        lambda: with_other(SAT, 0, note="x" * 5000).text(),
        "12:5: the line is larger than any record needs.",
    ),
}  # fmt: skip


def test_what_the_check_would_refuse(tmp_path: Path) -> None:
    """A first weight below the wax that was poured: it stays, at its place, whoever answers."""
    studio = studio_of(tmp_path, small(0))
    hand_in(studio, with_other(small_sitting(0), 0, before="50.0 g", after="40.0 g").text())
    before = bytes_of(studio)
    answer = taken(studio, "--as-read")
    assert answer.stderr == (
        "inbox/a.txt:12:35: found a first weight of 50.0 g, but 108.0 g of wax and oil were "
        "poured into the vessel. Mend one of the weights.\n"
    )
    assert (answer.exit_code, bytes_of(studio)) == (1, before)


@pytest.mark.parametrize("case", LEFT)
def test_a_file_that_stays(studio: Path, case: str) -> None:
    """Nothing is written, it stays where it is, and the reason stands at its place."""
    code, make, expected = LEFT[case]
    hand_in(studio, make().encode("utf-8", "surrogateescape"))
    before = bytes_of(studio)
    answer = taken(studio, "--as-read")
    first = answer.stderr.splitlines()[0]
    assert first.startswith(f"inbox/a.txt:{expected}"), answer.stderr
    assert (answer.exit_code, bytes_of(studio)) == (1, before)
    assert answer.stdout == "Taken: 0. On file already: 0. Left, each with its reason: 1.\n"
    told = json.loads(taken(studio, "--as-read", "--json").stdout)["files"][0]
    assert (told["result"], told["faults"][0]["code"]) == ("stayed", code)
    assert told["faults"][0]["file"] == "inbox/a.txt"
