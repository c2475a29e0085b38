"""Golden cases: records as a maker might write them wrong, and every word of the answer.

A case is one text file: what it proves, then files (each under a line `>>> path`) laid over a
studio that is in order, then the problems under `<<< problems`. A line `>>> path (bytes)` is
followed by a Python bytes literal. Run pytest with --update-golden to write the answers anew,
and read the difference.
"""

import ast
import os
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from handbook_builder.derived.notices import notices
from handbook_builder.handover import HANDED
from handbook_builder.notices import NOTICES
from handbook_builder.problems import MESSAGES
from handbook_builder.reading.records import read_folder, read_texts
from handbook_builder.workshop import studio_from, studio_in
from tests.records_in_text import BASE, as_bytes, burn, proven, write

CASES = sorted(Path(__file__).with_name("cases").glob("*.txt"))
_HEAD = re.compile(r"^>>> (\S.*?)( \(bytes\))?\n", re.MULTILINE)
# Messages that only a real folder can earn; they have tests of their own below.
FROM_A_FOLDER = {
    "half_written",
    "hidden_record",
    "linked",
    "stray_file",
    "stray_folder",
    "cannot_read",
    "beside_active", "beside_backup", "beside_missing", "beside_nothing", "beside_odd_name",
    "beside_other_kind", "beside_record",
}  # fmt: skip
# Messages that only a day can earn, which no text has: they have tests of their own below.
FROM_A_DAY = {"in_the_future", "far_ahead"}

# Messages about a file that was handed over: they have tests of their own (tests/handover).
FROM_A_HANDOVER = set(HANDED)
# Messages about a catalogue of statements: they have tests of their own (test_statements.py).
FROM_A_CATALOGUE = {
    "catalogue_unreadable", "no_catalogue", "no_statement_number", "statement_without_blank",
    "statement_with_stray_blank", "statements_lacking",
}  # fmt: skip


def _parts(text: str) -> tuple[str, dict[str, bytes], str]:
    head, _, expected = text.partition("<<< problems\n")
    found = list(_HEAD.finditer(head))
    proves = head[: found[0].start()] if found else head
    files: dict[str, bytes] = {}
    for match, after in zip(found, [*found[1:], None], strict=True):
        body = head[match.end() : after.start() if after else len(head)]
        files[match[1]] = ast.literal_eval(body.strip()) if match[2] else body.encode()
    return proves, files, expected


def _answer(files: dict[str, bytes]) -> tuple[str, set[str]]:
    # What is counted in the studio beneath is counted with the records of the case.
    readable = {path: data.decode("utf-8", "replace") for path, data in files.items()}
    laid_over = {**as_bytes({**BASE, **readable}), **files}
    kept = {path: data for path, data in laid_over.items() if data != b"(removed)\n"}
    _, problems = studio_from(read_texts(kept, "records/"))
    return "".join(f"{one}\n" for one in problems), {one.code for one in problems}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.stem)
def test_message(case: Path, request: pytest.FixtureRequest) -> None:
    """Every problem of the case is told, word for word, in order, and nothing else."""
    text = case.read_text("utf-8")
    proves, files, expected = _parts(text)
    assert proves.startswith("# ")
    answer, _ = _answer(files)
    if request.config.getoption("--update-golden"):
        case.write_text(text.partition("<<< problems\n")[0] + "<<< problems\n" + answer, "utf-8")
    else:
        assert answer == expected


def test_every_message_has_a_case() -> None:
    """No code stands in the table that no text can earn."""
    earned = FROM_A_FOLDER | FROM_A_DAY | FROM_A_CATALOGUE | FROM_A_HANDOVER
    for case in CASES:
        earned |= _answer(_parts(case.read_text("utf-8"))[1])[1]
    assert sorted(MESSAGES.keys() - earned) == []


def test_the_table_is_sorted() -> None:
    """Codes are found by eye."""
    assert list(MESSAGES) == sorted(MESSAGES)
    assert list(NOTICES) == sorted(NOTICES)


def test_no_notice_has_the_name_of_a_fault() -> None:
    """A code says by itself whether it keeps anything from being published."""
    assert MESSAGES.keys() & NOTICES.keys() == set()
    assert all(text.endswith(".") and text == text.strip() for text in NOTICES.values())


def test_what_is_dated_after_the_last_day_that_can_be_known() -> None:
    """Each event names its line, its day and the day of the clock; on the day itself none is."""
    files = {
        **proven(),
        "burns/fig-c.md": burn("C", more="void: {why: it fell, by: the maker, on: 2026-03-20}\n"),
        "purchases/soy.md": "---\nsupplier: jar-house\non: 2026-04-02\n"
        "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20}]\n---\n",
        "incidents/one.md": "---\nnumber: 1\non: 2026-04-01\nabout: recipes/fig\nwhat: smoke\n"
        "closed: {on: 2026-04-03, finding: a draught}\n---\n",
        "wicks/cotton-8.md": BASE["wicks/cotton-8.md"].replace(
            "core: cotton", "core: zinc\nlead_free: {on: 2026-04-04, by: x}"
        ),
    }

    def told(known_by: date) -> list[str]:
        reading = read_texts(as_bytes(files), "records/")
        return [str(one) for one in studio_from(reading, known_by)[1]]

    assert told(date(2026, 4, 4)) == []
    assert told(date(2026, 3, 31)) == [
        f"records/{place}: dated {on}, which is after 2026-03-31: a record cannot tell of what is "
        "still to come. Mend the date, or the clock of this machine."
        for place, on in (
            ("incidents/one.md:3:1", "2026-04-01"),
            ("incidents/one.md:6:10", "2026-04-03"),
            ("purchases/soy.md:3:1", "2026-04-02"),
            ("wicks/cotton-8.md:6:13", "2026-04-04"),
        )
    ]
    early = told(date(2026, 3, 18))
    assert [one.partition(": ")[0] for one in early if "burns" in one] == [
        "records/burns/fig-a.md:18:6",
        "records/burns/fig-b.md:18:6",
        "records/burns/fig-c.md:18:6",
        "records/burns/fig-c.md:22:37",
    ]


def test_a_make_and_an_end_may_be_told_of_a_year_ahead_and_no_more() -> None:
    """One digit of a year would otherwise leave the former make approved, and nobody told."""
    make = "spec: 2\nspec_since: {}\ncore: cotton"
    for day, wrong in (("2027-05-01", False), ("2027-05-03", True), ("2062-04-01", True)):
        files = {
            **proven(),
            "wicks/cotton-8.md": BASE["wicks/cotton-8.md"].replace(
                "core: cotton", make.format(day)
            ),
            "recipes/fig.md": BASE["recipes/fig.md"].replace(
                "title: Fig", f"title: Fig\nretired: {day}"
            ),
        }
        reading = read_texts(as_bytes(files), "records/")
        studio, problems = studio_from(reading, date(2026, 5, 1))
        assert [one.code for one in problems] == ["far_ahead"] * 2 * wrong
        if studio is not None:
            told = [one.code for one in notices(studio, date(2026, 5, 1), {})]
            assert told == ["planned_later"] * 2


@pytest.mark.parametrize(
    ("price", "times"), [("9650", "100"), ("965.00", "10"), ("9.65", "0.1"), ("940.00", None)]
)
def test_a_price_with_a_slip_of_the_point_is_told(price: str, times: str | None) -> None:
    """96.50 for a hundred vessels on the other bills; a discount or a dearer year is no slip."""
    bill = "---\nsupplier: jar-house\non: 2026-02-{:02}\nlines: [{{{}}}]\n---\n"
    line = "item: vessels/tumbler, quantity: 100 pcs, price: {}"
    files = {
        f"purchases/{one}.md": bill.format(day, line.format(cost))
        for one, day, cost in (("a", 1, "96.50"), ("b", 2, "96.50"), ("c", 3, price))
    }
    studio, problems = studio_from(read_texts(as_bytes({**proven(), **files}), "records/"))
    assert studio is not None, problems
    told = [str(one) for one in notices(studio, date(2026, 5, 1), {})]
    expected = f"vessels/tumbler costs {times} times here"
    assert [one.startswith("records/purchases/c.md:4:") and expected in one for one in told] == (
        [] if times is None else [True]
    )


def test_a_picture_that_is_not_there_is_told() -> None:
    """A mistyped name would leave its words on the page, and nobody would miss the picture."""
    note = "![The pool](pool one.jpg) ![](<pool%20one.jpg>) ![far](https://example.org/a.png)\n"
    recipe = BASE["recipes/fig.md"] + note + "![Lid](../vessels/lid.png) ![Jar](jarr.png)\n"
    data = {**as_bytes({**proven(), "recipes/fig.md": recipe})}
    reading = replace(
        read_texts(data, "records/"), photos=("recipes/pool one.jpg", "recipes/jar.png")
    )
    studio, problems = studio_from(reading)
    assert problems == ()
    assert studio is not None
    told = [str(one) for one in notices(studio, date(2026, 5, 1), {})]
    assert [
        one.partition("found the picture ")[2].partition(" in the note")[0] for one in told
    ] == [
        "'../vessels/lid.png'",
        "'jarr.png'",
        "'pool'",
    ]
    assert "did you mean 'jar.png'?" in "".join(told)


def test_a_later_day_may_be_asked_about(tmp_path: Path) -> None:
    """The clock is read at the door: what is dated after today is no fault as of that day."""
    tomorrow = datetime.now(tz=UTC).date() + timedelta(days=2)
    bill = (
        f"---\nsupplier: jar-house\non: {tomorrow}\n"
        "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20}]\n---\n"
    )
    write(tmp_path, {**BASE, "purchases/soy.md": bill})
    assert [one.code for one in studio_in(tmp_path)[1]] == ["in_the_future"]
    assert studio_in(tmp_path, as_of=tomorrow)[1] == ()
    early = studio_in(tmp_path, as_of=tomorrow - timedelta(days=30))[1]
    assert [one.code for one in early] == ["in_the_future"]


def test_what_only_a_folder_can_hold(tmp_path: Path) -> None:
    """Strays, hidden records, links and unreadable files are told, and photos are kept."""
    for path, data in as_bytes(BASE).items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(data)
    (tmp_path / "recipes" / ".old.md").write_text("---\n---\n")
    (tmp_path / "recipes" / "fig.txt").write_text("fig")
    (tmp_path / "recipes" / "fig.md~").write_text("fig")
    (tmp_path / "recipes" / "old").mkdir()
    (tmp_path / "recipes" / "old" / "fig.md").write_text("fig")
    (tmp_path / "vessles").mkdir()
    (tmp_path / "vessles" / "jar.md").write_text("---\n---\n")
    (tmp_path / "notes.md").write_text("hello")
    (tmp_path / "burns").mkdir()
    (tmp_path / "burns" / "fig-a.jpg").write_bytes(b"photo")
    (tmp_path / "wicks" / "linked.md").symlink_to(tmp_path / "wicks" / "cotton-8.md")
    (tmp_path / "wicks" / "lost.md").mkdir()
    (tmp_path / "incidents").mkdir()
    (tmp_path / "incidents" / "one.md.jpg").write_bytes(b"not a photo")
    (tmp_path / "incidents" / ".kept").mkdir()
    (tmp_path / ".batches").mkdir()
    (tmp_path / ".git").mkdir()
    (tmp_path / "burns" / ".DS_Store").write_bytes(b"what a file manager leaves")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "helpers").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "fig-a.md").write_text("---\n---\n")
    os.mkfifo(tmp_path / "wicks" / "pipe.md")
    reading = read_folder(tmp_path, "records/")
    assert reading.photos == ("burns/fig-a.jpg",)
    assert [str(one) for one in reading.problems] == [
        "records/.batches:1:1: " + MESSAGES["hidden_record"],
        "records/helpers:1:1: " + MESSAGES["linked"],
        "records/incidents/.kept:1:1: " + MESSAGES["hidden_record"],
        "records/incidents/one.md.jpg:1:1: " + MESSAGES["stray_file"],
        "records/notes.md:1:1: " + MESSAGES["stray_file"],
        "records/recipes/.old.md:1:1: " + MESSAGES["hidden_record"],
        "records/recipes/fig.txt:1:1: " + MESSAGES["stray_file"],
        "records/recipes/old/fig.md:1:1: " + MESSAGES["stray_file"],
        (
            "records/tests/fig-a.md:1:1: found the folder 'tests', which is no kind of record "
            "(did you mean 'burns'?)."
        ),
        (
            "records/vessles/jar.md:1:1: found the folder 'vessles', which is no kind of record "
            "(did you mean 'vessels'?)."
        ),
        "records/wicks/linked.md:1:1: " + MESSAGES["linked"],
        "records/wicks/lost.md:1:1: " + MESSAGES["stray_file"],
        "records/wicks/pipe.md:1:1: " + MESSAGES["stray_file"],
    ]


def test_a_file_that_the_system_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A record that cannot be opened is told, not dropped."""
    for path, data in as_bytes(BASE).items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(data)
    whole = Path.read_bytes

    def refuse(self: Path) -> bytes:
        if self.name == "soy.md":
            raise PermissionError(13, "Permission denied")
        return whole(self)

    monkeypatch.setattr(Path, "read_bytes", refuse)
    told = [str(one) for one in read_folder(tmp_path, "records/").problems]
    assert told == ["records/waxes/soy.md:1:1: the file cannot be read: Permission denied."]


def test_a_folder_that_the_system_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Records that cannot be listed are told: an incident may be among them."""
    for path, data in as_bytes(BASE).items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(data)
    (tmp_path / "incidents").mkdir()
    scan = os.scandir

    def refuse(path: str) -> "os._ScandirIterator[str]":
        if str(path).endswith("incidents"):
            raise PermissionError(13, "Permission denied", str(path))
        return scan(path)

    monkeypatch.setattr(os, "scandir", refuse)
    told = [str(one) for one in read_folder(tmp_path, "records/").problems]
    assert told == ["records/incidents:1:1: the file cannot be read: Permission denied."]


def test_a_folder_without_a_studio(tmp_path: Path) -> None:
    """The wrong folder is told at once."""
    told = [str(one) for one in read_folder(tmp_path, "records/").problems]
    assert told == ["records/:1:1: " + MESSAGES["no_records"]]


def _base_in(folder: Path) -> Path:
    for path, data in as_bytes(BASE).items():
        (folder / path).parent.mkdir(exist_ok=True)
        (folder / path).write_bytes(data)
    return folder


def test_a_record_of_gigabytes_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its size is asked first: three gigabytes of nothing would fill the memory."""
    huge = _base_in(tmp_path) / "waxes" / "huge.md"
    with huge.open("wb") as file:
        file.truncate(3 * 1024**3)
    whole = Path.read_bytes

    def small(self: Path) -> bytes:
        assert self != huge
        return whole(self)

    monkeypatch.setattr(Path, "read_bytes", small)
    told = [str(one) for one in read_folder(tmp_path, "records/").problems]
    assert told == ["records/waxes/huge.md:1:1: " + MESSAGES["too_big"].format(what="file")]


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("so\ny.md", "so\\u000ay.md"),
        ("so\x1b[31my.md", "so\\u001b[31my.md"),
        ("so\u202ey.md", "so\\u202ey.md"),
        ("so\u2028y.md", "so\\u2028y.md"),
        ("so\udcffy.md", "so\\udcffy.md"),
    ],
)
def test_a_name_never_splits_or_turns_a_line(name: str, shown: str, tmp_path: Path) -> None:
    """`file:line:column` stays one line that any editor or terminal can take."""
    (_base_in(tmp_path) / "waxes" / name).write_bytes(b"")
    told = [str(one) for one in read_folder(tmp_path, "records/").problems]
    found = MESSAGES["bad_id"].format(found=shown)
    assert told == [f"records/waxes/{shown}:1:1: {found}"]
