"""`handbook log --amend`: what was forgotten or mistyped is mended in its place, and said so."""

import json
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.cli.cycle_prompts import ASKED
from handbook_builder.files import replace_file
from handbook_builder.reading.records import read_folder
from handbook_builder.workshop import studio_from, studio_in
from handbook_builder.writing.adding import values_of
from handbook_builder.writing.amending import with_amended
from handbook_builder.writing.cycle_draft import CYCLE_KEYS, END_KEYS
from tests.bench.calls import bytes_of, called, spaced, studio_of
from tests.bench.test_log import TODAY, file_of, typed
from tests.records_in_text import burn, proven, whole_life

DEMO = Path(__file__).parents[2] / "records" / "burns"
FIRST, SECOND, *REST = whole_life()
ENDED = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: 4}"
MARK = "amended: 2026-05-01"


def kept(folder: Path, *cycles: str, end: str = ENDED) -> Path:
    """Return a studio in which candle A of `fig` burned so."""
    files = {**proven(), "burns/fig-a.md": burn("A", cycles=[*cycles], end=end)}
    return studio_of(folder, files)


def amended(studio: Path, *words: str, answers: tuple[str, ...] = ()) -> tuple[int, str]:
    """Return how an amendment ended, and all that was said."""
    result = called(studio, "log", "fig-a", *words, *TODAY, typed=typed(*answers))
    return result.exit_code, spaced(result.output)


def text_of(studio: Path) -> str:
    """Return the record that is amended."""
    return file_of(studio).read_text("utf-8")


def told_once(studio: Path, old: str, was: str, now: str) -> None:
    """Assert that one piece of the record is another, and every other letter the same."""
    assert old.count(was) == 1
    assert text_of(studio) == old.replace(was, now)


def test_a_reading_that_was_forgotten(tmp_path: Path) -> None:
    """It takes its place among the keys, and is no longer said to be unread."""
    lacking = SECOND.replace(", wall: 52 degC", "").replace("}", ", unread: [wall]}")
    studio = kept(tmp_path, FIRST, lacking, *REST)
    old = text_of(studio)
    code, said = amended(studio, "--amend", "2", "--wall", "52 degC")
    assert code == 0, said
    assert "Amended: wall is 52 degC." in said
    assert "Cycle 2 of candle A (fig): Passed." in said
    assert "Written: records/burns/fig-a.md:16" in said
    whole = SECOND.replace("}", f", {MARK}}}")
    told_once(studio, old, lacking, whole)
    assert studio_in(studio / "records")[1] == ()


def test_another_that_is_unread_stays_so(tmp_path: Path) -> None:
    """Of two that are named one is given: the list keeps the other."""
    lacking = SECOND.replace(", wall: 52 degC", "").replace("pool: 70 mm, ", "")
    studio = kept(tmp_path, FIRST, lacking.replace("}", ", unread: [pool, wall]}"), *REST)
    assert amended(studio, "--amend", "2", "--pool", "70 mm")[0] == 0
    assert f"unread: [wall], {MARK}}}" in text_of(studio)
    assert values_of(file_of(studio).read_bytes())["cycles"][1]["pool"] == "70 mm"


def test_a_value_that_was_mistyped(tmp_path: Path) -> None:
    """The former value stays on file, the second one too; words and checks join those on file."""
    studio = kept(tmp_path, FIRST, SECOND, *REST)
    assert amended(studio, "--amend", "2", "--depth", "9 mm", "--seen", "frosting")[0] == 0
    assert f"seen: [frosting], {MARK}, former: {{depth: 8 mm}}}}" in text_of(studio)
    given = ("--depth", "10 mm", "--seen", "sweating", "--check", "1 h=41 mm")
    assert amended(studio, "--amend", "2", *given)[0] == 0
    assert (
        "depth: 10 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s, seen: [frosting, sweating], "
        f"checks: {{1 h: 41 mm}}, {MARK}, former: {{depth: [8 mm, 9 mm], seen: frosting}}}}"
    ) in text_of(studio)
    later = called(studio, "log", "fig-a", "--amend", "2", "--depth", "8 mm", "--as-of",
                   "2026-05-03")  # fmt: skip
    assert later.exit_code == 0, later.output
    assert "amended: [2026-05-01, 2026-05-03]" in text_of(studio)


def test_what_the_record_says_already_is_not_written(tmp_path: Path) -> None:
    """The same value in another form is no amendment, and a program is told how it stands."""
    studio = kept(tmp_path, FIRST, SECOND, *REST)
    old = bytes_of(studio)
    code, said = amended(studio, "--amend", "2", "--burned", "240 min")
    assert (code, bytes_of(studio)) == (0, old)
    assert "The record says so already. Nothing was written." in said
    told = json.loads(amended(studio, "--amend", "2", "--burned", "240 min", "--json")[1])
    assert (told["cycle"]["number"], told["cycle"]["amended"]) == (2, [])
    assert bytes_of(studio) == old


def test_a_failure_is_never_amended_away_unasked(tmp_path: Path) -> None:
    """Both values are told, by options and by prompts; what failed once stays readable."""
    failing = SECOND.replace("flame: 22 mm", "flame: 82 mm")
    studio = kept(tmp_path, FIRST, failing, *REST)
    old = bytes_of(studio)
    code, said = amended(studio, "--amend", "2", "--flame", "22 mm")
    assert (code, bytes_of(studio)) == (2, old)
    assert "On file it failed: Cycle 2: the flame reached 82 mm" in said
    assert "flame was 82 mm, is 22 mm" in said
    assert "add --as-read" in said
    answers = ("",) * 5 + ("22", "n")
    code, said = amended(studio, "--amend", "2", answers=answers)
    assert (code, bytes_of(studio)) == (1, old)  # it is asked for again, and typing ends
    assert "flame was 82 mm, is 22 mm" in said
    assert amended(studio, "--amend", "2", "--flame", "22 mm", "--as-read")[0] == 0
    assert f"{MARK}, former: {{flame: 82 mm}}}}" in text_of(studio)


@pytest.mark.parametrize(
    ("end", "given", "told"),
    [
        ("{how: went_out, vessel: cracked, tilt: steady}", ("--vessel-state", "sound"), "cracked"),
        ("{how: went_out, vessel: sound, tilt: fell}", ("--tilt", "steady"), "fell"),
        ("{how: stopped, why: it sooted, vessel: sound, tilt: steady}", ("--end", "went_out"),
         "stopped"),
    ],
)  # fmt: skip
def test_nor_is_an_end_that_failed(
    end: str, given: tuple[str, ...], told: str, tmp_path: Path
) -> None:
    """A vessel that cracked, a candle that fell, a test that was stopped."""
    studio = kept(tmp_path, *whole_life(), end=end)
    old = bytes_of(studio)
    code, said = amended(studio, "--amend", "end", *given)
    assert (code, bytes_of(studio)) == (2, old)
    assert "This would take the failure away" in said
    assert told in said
    assert amended(studio, "--amend", "end", *given, "--as-read")[0] == 0
    assert f"former: {{" in text_of(studio)  # noqa: F541


def test_a_failure_that_was_forgotten_is_asked_about_too(tmp_path: Path) -> None:
    """As when it is logged: a slip of the pen fails a candle as well."""
    studio = kept(tmp_path, *whole_life())
    old = bytes_of(studio)
    code, said = amended(studio, "--amend", "3", "--seen", "leak")
    assert (code, bytes_of(studio)) == (2, old)
    assert "leak was seen" in said
    code, said = amended(studio, "--amend", "3", "--seen", "leak", "--as-read")
    assert "Cycle 3 of candle A (fig): Failed." in said
    assert "The candle: Failed." in said


def test_what_the_next_cycle_contradicts_is_asked_about(tmp_path: Path) -> None:
    """A weight after is the next one before: the question names the cycle at odds."""
    studio = kept(tmp_path, *whole_life())
    code, said = amended(studio, "--amend", "1", "--after", "364 g")
    assert code == 2
    assert "Cycle 2: it began at 374.0 g, but the cycle ahead of it ended at 364.0 g" in said


def test_the_tilt_that_was_forgotten(tmp_path: Path) -> None:
    """The end says how it stood; a candle that ended names the way to say so."""
    studio = kept(tmp_path, *whole_life(), end=ENDED.replace(" tilt: steady,", ""))
    code, said = amended(studio, "--tilt", "steady")
    assert code == 2
    assert "handbook log fig-a --amend end --tilt steady" in said
    old = text_of(studio)
    code, said = amended(studio, "--amend", "end", "--tilt", "steady")
    assert code == 0, said
    assert "The candle: Passed." in said
    now = f"vessel: sound, tilt: steady, cycles: 4, {MARK}}}"
    told_once(studio, old, "vessel: sound, cycles: 4}", now)


def test_the_tilt_before_the_first_light(tmp_path: Path) -> None:
    """Unsaid it is asked for, or given; said it is not changed by this command."""
    studio = kept(tmp_path, *whole_life())
    file = file_of(studio)
    said_so = file.read_text("utf-8")
    file.write_text(said_so.replace("  tilt: steady\n", ""), "utf-8")
    code, said = amended(studio, "--amend", "end", "--tilt-new", "fell")
    assert code == 2
    assert "It fell over before its first light" in said
    assert amended(studio, "--amend", "end", "--tilt-new", "steady")[0] == 0
    assert values_of(file.read_bytes()) == values_of(said_so.encode())
    code, said = amended(studio, "--amend", "end", "--tilt-new", "fell", "--as-read")
    assert code == 2
    assert "is on file as 'steady'" in said


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--amend", "9"), "Cycle 9 is not on file; cycles on file: 4."),
        (("--amend", "0"), "Cycle 0 is not on file"),
        (("--amend", "last"), "'last' is neither the number of a cycle nor end."),
        (("--amend", "\u00b2"), "is neither the number"),
        (("--amend", "2", "--left", "4 g"), "go with --amend end"),
        (("--amend", "end", "--wall", "50 degC"), "go with --amend end"),
        (("--amend", "2", "--wall", "50"), "wall: found '50' without a unit"),
        (("--amend", "end", "--tilt", "stedy"), "did you mean 'steady'?"),
        (("--amend", "2", "--on", "2026-05-02"), "2026-05-02 lies after 2026-05-01"),
        (("--amend", "2", "--on", "2026-05-02", "--as-read"), "2026-05-02 lies after 2026-05-01"),
        (("--amend", "2", "--wall", "50 degC", "--scale-log", "x.csv"), "read for a new cycle"),
        (("--amend", "2", "--wall", "15 degC", "--room", "20 degC"), "is colder than the room"),
        (("--amend", "2", "--json"), "With --json nothing is asked"),
    ],
)
def test_wrong_calls_write_nothing(words: tuple[str, ...], told: str, tmp_path: Path) -> None:
    """Exit status 2, a reason, and every file as it was."""
    studio = kept(tmp_path, *whole_life())
    old = bytes_of(studio)
    code, said = amended(studio, *words)
    assert told in said
    assert (code, bytes_of(studio)) == (2, old)


def test_a_candle_that_burns_has_no_end_to_amend(tmp_path: Path) -> None:
    """Its end is given, not amended; a cycle of it is amended, and its count stays."""
    studio = kept(tmp_path, FIRST, SECOND, end="")
    code, said = amended(studio, "--amend", "end", "--tilt", "steady")
    assert code == 2
    assert "has not come to its end" in said
    old = text_of(studio)
    assert amended(studio, "--amend", "1", "--note", "quiet")[0] == 0
    told_once(studio, old, FIRST, FIRST.replace("}", f", note: quiet, {MARK}}}"))


def test_by_prompts_every_value_is_offered(tmp_path: Path) -> None:
    """Enter keeps it, a bare number gets its unit, and only what was typed is written."""
    studio = kept(tmp_path, *whole_life())
    old = text_of(studio)
    keys = ("on", *ASKED)
    answers = tuple("53" if key == "wall" else "" for key in keys)
    code, said = amended(studio, "--amend", "2", answers=(*answers, "y"))
    assert code == 0, said
    assert "cycle 2, as it is on file" in said
    assert "Hottest place of the wall, in degC [52 degC]" in said
    assert "Amended: wall was 52 degC, is 53 degC." in said
    whole = SECOND.replace("52 degC", "53 degC").replace(
        "}", f", {MARK}, former: {{wall: 52 degC}}}}"
    )
    told_once(studio, old, SECOND, whole)
    again = bytes_of(studio)
    code, said = amended(studio, "--amend", "2", answers=("",) * len(keys))
    assert (code, bytes_of(studio)) == (0, again)
    assert "The record says so already." in said


def test_a_word_that_was_seen_is_taken_out_only_when_that_is_meant(tmp_path: Path) -> None:
    """By prompts the list is typed anew: what is missing from it is asked about."""
    studio = kept(tmp_path, FIRST, SECOND.replace("}", ", seen: [frosting, sweating]}"), *REST)
    keys = ("on", *ASKED)
    answers = tuple("frosting" if key == "seen" else "" for key in keys[: keys.index("seen") + 1])
    code, said = amended(studio, "--amend", "2", answers=(*answers, "y", "", "y"))
    assert code == 0, said
    assert "'sweating' stands under 'seen' on file, and would be gone." in said
    assert 'seen: [frosting], amended: 2026-05-01, former: {seen: "frosting, sweating"}' in (
        text_of(studio)
    )


def test_by_prompts_the_end_goes_back(tmp_path: Path) -> None:
    """The word back asks the question before again, at the last question too."""
    studio = kept(tmp_path, *whole_life())
    old = text_of(studio)
    answers = ("back", "", "back", "", "4.5", "", "", "back", "untried", "y", "n")
    code, said = amended(studio, "--amend", "end", answers=answers)
    assert code == 0, said
    assert said.count("How it ended") == 3
    assert said.count("On the slope of 10 degrees") == 2
    assert "left was 4.0 g, is 4.5 g, tilt was steady, is untried" in said
    assert "Nothing was written." in said
    assert text_of(studio) == old


def test_a_file_that_changed_meanwhile_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was to be amended is said again, and an edit of somebody else is never lost."""
    studio = kept(tmp_path, *whole_life())

    def slow(path: Path, old: bytes, new: bytes) -> None:
        path.write_bytes(old + b"Another hand.\n")
        replace_file(path, old, new)

    monkeypatch.setattr("handbook_builder.cli.amend.replace_file", slow)
    code, said = amended(studio, "--amend", "2", "--note", "quiet")
    assert code == 1
    assert "Its file changed meanwhile" in said
    assert "cycles[1]: {note: quiet}" in said
    assert text_of(studio).endswith("Another hand.\n")


def test_a_day_to_come_is_a_fault_of_the_record(tmp_path: Path) -> None:
    """Nobody has amended anything tomorrow."""
    studio = kept(tmp_path, FIRST.replace("}", ", amended: 2026-05-02}"), *whole_life()[1:])
    reading = read_folder(studio / "records")
    found = studio_from(reading, date(2026, 5, 1))[1]
    assert [(one.code, one.place.line) for one in found] == [("in_the_future", 15)]
    assert studio_from(reading, date(2026, 5, 2))[1] == ()


def _held(values: dict[str, object], within: tuple[str | int, ...]) -> dict[str, object]:
    found: object = values
    for part in within:
        found = found[part]  # type: ignore[index]  # as the record has it
    assert isinstance(found, dict)
    return found


def _amends_alone(data: bytes, within: tuple[str | int, ...], key: str, order: object) -> None:
    """Assert that one key changes, in its own place, and all values but it are the same."""
    new = with_amended(data, within, key, "9.25 x", order)  # type: ignore[arg-type]  # keys
    before, after = values_of(data), values_of(new)
    old = _held(before, within).pop(key, None)
    assert _held(after, within).pop(key) == "9.25 x"
    assert before == after
    begin = next(at for at, (one, other) in enumerate(zip(data, new, strict=False)) if one != other)
    same_end = next(
        at
        for at, (one, other) in enumerate(zip(reversed(data), reversed(new), strict=False))
        if one != other
    )
    was = data[begin : len(data) - same_end].decode()
    assert was.count("\n") == 0, was
    if old is None:
        assert len(new) - len(data) == len(f", {key}: 9.25 x")
        assert begin + same_end >= len(data) - 2  # letters that both share


def test_every_key_of_every_cycle_of_the_demo() -> None:
    """One key of each cycle in turn, so that all are met, and one that is not there yet."""
    asked: set[str] = set()
    for number, file in enumerate(sorted(DEMO.glob("*.md"))):
        data = file.read_bytes()
        values = values_of(data)
        for index, cycle in enumerate(values.get("cycles", [])):
            whole = file.stem == "cedar-fig-a"
            keys = list(cycle) if whole else [list(cycle)[(number + index) % len(cycle)]]
            missing = [key for key in CYCLE_KEYS if key not in cycle]
            for key in (*keys, missing[(number + index) % len(missing)]):
                _amends_alone(data, ("cycles", index), key, CYCLE_KEYS)
                asked.add(key)
        for key in ("left", "amended") if "end" in values else ():
            _amends_alone(data, ("end",), key, END_KEYS)
    assert asked == set(CYCLE_KEYS)
