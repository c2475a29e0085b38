"""Pictures that come with readings go to the folder of the record, over no other, with words."""

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from handbook_builder.workshop import studio_in
from handbook_builder.writing import taken_photos
from tests.bench.calls import bytes_of, called, front_of, studio_of
from tests.handover.kit import Sitting, hand_in, small, small_sitting, taken, whole_record

FILE = "records/burns/fig-a.md"
FOLDER = "records/burns/fig-a"
POOL, WICK = b"a picture of a pool", b"a picture of a wick"
SAID = {1: ("p1.JPG", POOL, 'The pool, "wide"'), 2: ("p2.heic", WICK, "The wick after it")}


def with_photos(sat: Sitting, said: Mapping[int, tuple[str, bytes, str]] = SAID) -> Sitting:
    """Return what was read with pictures of some of its cycles."""
    shown = ", ".join(
        f"{number}: {{file: {name}, sha256: {hashlib.sha256(data).hexdigest()}, "
        f"alt: {alt if alt.isalnum() else repr(alt)}}}"
        for number, (name, data, alt) in said.items()
    )
    return replace(sat, more={"photos": f"{{{shown}}}"})


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a small studio in which candle A has burned two of its four cycles."""
    return studio_of(tmp_path, small(2))


def _hand_in(studio: Path, sat: Sitting, said: Mapping[int, tuple[str, bytes, str]] = SAID) -> None:
    hand_in(studio, with_photos(sat, said).text())
    for name, data, _ in said.values():
        hand_in(studio, data, name)


def _pictures(studio: Path) -> dict[str, bytes]:
    folder = studio / FOLDER
    return {one.name: one.read_bytes() for one in folder.iterdir()} if folder.is_dir() else {}


def test_pictures_go_to_their_record(studio: Path) -> None:
    """Under the number of the cycle in the record, and the record says what is seen on them."""
    _hand_in(studio, small_sitting(2))
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert _pictures(studio) == {"3.jpg": POOL, "4.heic": WICK}
    record = (studio / FILE).read_text()
    said = {"3.jpg": 'The pool, "wide"', "4.heic": "The wick after it"}
    assert front_of(record)["photos"] == said
    lines = [one for one in record.splitlines() if not one.startswith("photos:")]
    assert "\n".join(lines) + "\n" == whole_record()
    assert [one.name for one in (studio / "inbox").rglob("*")] == ["taken", "a.txt"]
    assert "left where it is" not in answer.stdout
    assert studio_in(studio / "records")[1] == ()


def test_twice_adds_no_picture(studio: Path) -> None:
    """Known by their bytes; the doubles in the inbox are gone, since each is on file."""
    for _ in range(2):
        _hand_in(studio, small_sitting(2))
        assert taken(studio, "--as-read").exit_code == 0
    hand_in(studio, with_photos(small_sitting(2)).text())
    answer = taken(studio)
    assert (answer.exit_code, "On file already: 1." in answer.stdout) == (0, True)
    assert _pictures(studio) == {"3.jpg": POOL, "4.heic": WICK}
    assert (studio / FILE).read_text().count("3.jpg") == 1


def test_a_picture_that_comes_later(studio: Path) -> None:
    """A longer edition has a picture of a cycle that is known: it is added to those on file."""
    first = small_sitting(2)
    _hand_in(studio, replace(first, cycles=first.cycles[:1], end=None), {1: SAID[1]})
    assert taken(studio, "--as-read").exit_code == 0
    _hand_in(studio, first, {1: ("other.png", WICK, "The wick")})
    assert taken(studio, "--as-read").exit_code == 0
    assert _pictures(studio) == {"3.jpg": POOL, "3.png": WICK}
    _hand_in(studio, first, {1: ("again.jpg", b"another", "Again"), 2: SAID[2]})
    assert taken(studio, "--as-read").exit_code == 0
    assert _pictures(studio) == {
        "3.jpg": POOL, "3.png": WICK, "3-2.jpg": b"another", "4.heic": WICK
    }  # fmt: skip
    record = front_of((studio / FILE).read_text())
    assert sorted(record["photos"]) == ["3-2.jpg", "3.jpg", "3.png", "4.heic"]
    assert studio_in(studio / "records")[1] == ()


def test_a_picture_without_words(studio: Path) -> None:
    """It is put on file all the same; the page asks for its words then."""
    sat = with_photos(small_sitting(2), {1: SAID[1]})
    shown = sat.more["photos"].partition(", alt")[0]
    hand_in(studio, replace(sat, more={"photos": f"{shown}}}}}"}).text())
    hand_in(studio, POOL, "p1.JPG")
    assert taken(studio, "--as-read").exit_code == 0
    assert _pictures(studio) == {"3.jpg": POOL}
    assert (studio / FILE).read_text() == whole_record()
    hand_in(studio, replace(sat, more={"photos": f"{shown}}}}}"}).text())
    assert "On file already: 1." in taken(studio).stdout


def test_no_picture_is_overwritten(studio: Path) -> None:
    """What lies there under the name stays, in capitals or not."""
    (studio / FOLDER).mkdir()
    (studio / FOLDER / "3.JPG").write_bytes(b"the maker's own")
    _hand_in(studio, small_sitting(2), {1: SAID[1]})
    assert taken(studio, "--as-read").exit_code == 0
    assert _pictures(studio) == {"3.JPG": b"the maker's own", "3-2.jpg": POOL}


@pytest.mark.parametrize(
    ("data", "said"),
    [(None, "does not lie beside this file"), (b"half a pict", "is not the one that was handed")],
)
def test_a_picture_that_is_not_there_yet(studio: Path, data: bytes | None, said: str) -> None:
    """Readings are not held up by it; the file waits for it, and is whole when it comes."""
    hand_in(studio, with_photos(small_sitting(2), {1: SAID[1]}).text())
    if data is not None:
        hand_in(studio, data, "p1.JPG")
    for known in ("Taken: 1. On file already: 0.", "Taken: 0. On file already: 1."):
        answer = taken(studio, "--as-read")
        assert answer.exit_code == 1
        assert answer.stderr.startswith(f"inbox/a.txt:11:10: the picture 'p1.JPG' {said}")
        assert known in answer.stdout
        assert (studio / FILE).read_text() == whole_record()
        assert (studio / "inbox/a.txt").is_file()
    hand_in(studio, POOL, "p1.JPG")
    assert taken(studio).exit_code == 0
    assert _pictures(studio) == {"3.jpg": POOL}
    assert [one.name for one in (studio / "inbox").rglob("*")] == ["taken", "a.txt"]


def test_a_picture_of_a_kind_that_is_none(studio: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither a script, nor a link, nor one too large for any record."""
    (studio / "secret.jpg").write_bytes(POOL)
    for name in ("p.svg", "p.jpg.exe", "link.jpg"):
        _hand_in(studio, small_sitting(2), {1: (name, POOL, "Pool")})
        if name == "link.jpg":
            (studio / "inbox" / name).unlink()
            (studio / "inbox" / name).symlink_to(studio / "secret.jpg")
        answer = taken(studio, "--as-read")
        assert "does not lie beside this file, or is no picture of a kind" in answer.stderr
    monkeypatch.setattr(taken_photos, "_LARGEST", len(POOL) - 1)
    _hand_in(studio, small_sitting(2), {1: SAID[1]})
    assert "does not lie beside this file" in taken(studio, "--as-read").stderr
    assert _pictures(studio) == {}


@pytest.mark.parametrize("name", ["../p.jpg", "/p.jpg", "a\\p.jpg", ".p.jpg"])
def test_a_picture_elsewhere(studio: Path, name: str) -> None:
    """A file names what lies beside it, and nothing else."""
    hand_in(studio, with_photos(small_sitting(2), {1: (f"'{name}'", POOL, "Pool")}).text())
    before = bytes_of(studio)
    answer = taken(studio, "--as-read")
    assert "expected the name of a file beside it." in answer.stderr
    assert bytes_of(studio) == before


def test_a_picture_of_no_cycle(studio: Path) -> None:
    """Its number is that of a cycle in the file."""
    _hand_in(studio, small_sitting(2), {3: SAID[1]})
    answer = taken(studio, "--as-read")
    assert "found '3'; expected a number of a cycle here, up to 2." in answer.stderr


def test_a_reading_that_was_mended_meanwhile(studio: Path) -> None:
    """It is the same cycle: the longer edition goes on from it, and leaves the mended one alone."""
    sat = small_sitting(2)
    hand_in(studio, sat.text(1, ended=False))
    assert taken(studio, "--as-read").exit_code == 0
    words = ("log", "fig-a", "--amend", "3", "--flame", "23 mm", "--note", "read again")
    answer = called(studio, *words, "--as-read", "--as-of", "2026-05-01")
    assert answer.exit_code == 0, answer.output
    mended = (studio / FILE).read_text()
    assert "flame: 23 mm" in mended
    hand_in(studio, sat.text())
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stderr) == (0, "")
    now = (studio / FILE).read_text()
    assert len(front_of(now)["cycles"]) == 4
    assert front_of(now)["cycles"][:3] == front_of(mended)["cycles"]
    words = ("log", "fig-a", "--amend", "end", "--left", "4.2 g", "--as-read")
    assert called(studio, *words, "--as-of", "2026-05-01").exit_code == 0
    hand_in(studio, sat.text())
    assert "On file already: 1." in taken(studio).stdout


def test_another_reading_than_the_one_that_was_mended(studio: Path) -> None:
    """What was mended is known by what it was mended from; any other value is another cycle."""
    sat = small_sitting(2)
    hand_in(studio, sat.text(1, ended=False))
    taken(studio, "--as-read")
    words = ("log", "fig-a", "--amend", "3", "--flame", "23 mm", "--as-read")
    assert called(studio, *words, "--as-of", "2026-05-01").exit_code == 0
    cycles = [{**sat.cycles[0], "wall": "51 degC"}, sat.cycles[1]]
    hand_in(studio, replace(sat, cycles=cycles).text())
    assert "10:1: what this file was made against is not what" in taken(studio, "--as-read").stderr


def test_a_reading_that_was_mended_on_both_sides(studio: Path) -> None:
    """A value that never stood in the record may be what failed: it is not passed over."""
    sat = small_sitting(2)
    hand_in(studio, sat.text(1, ended=False))
    taken(studio, "--as-read")
    words = ("log", "fig-a", "--amend", "3", "--flame", "23 mm", "--as-read")
    assert called(studio, *words, "--as-of", "2026-05-01").exit_code == 0
    before = (studio / FILE).read_text()
    cycles = [{**sat.cycles[0], "flame": "80 mm"}, sat.cycles[1]]
    hand_in(studio, replace(sat, cycles=cycles).text())
    assert "10:1: what this file was made against is not what" in taken(studio, "--as-read").stderr
    assert (studio / FILE).read_text() == before


@pytest.mark.parametrize(
    ("given", "mended", "other"),
    [
        ({"seen": ["smoking"]}, ("--seen", "sooting"), ["flare_up"]),
        ({"checks": {"1 h": "40 mm"}}, ("--check", "1 h=41 mm"), {"1 h": "71 mm"}),
    ],
)
def test_a_list_or_a_map_that_was_mended(
    studio: Path, given: dict[str, Any], mended: tuple[str, str], other: object
) -> None:
    """It is known by what stood there, as any reading is."""
    key = next(iter(given))
    sat = small_sitting(2)
    sat = replace(sat, cycles=[{**sat.cycles[0], **given}, sat.cycles[1]])
    hand_in(studio, sat.text(1, ended=False))
    assert taken(studio, "--as-read").exit_code == 0
    words = ("log", "fig-a", "--amend", "3", *mended, "--as-read", "--as-of", "2026-05-01")
    assert called(studio, *words).exit_code == 0
    another = replace(sat, cycles=[{**sat.cycles[0], key: other}, sat.cycles[1]])
    hand_in(studio, another.text(), "b.txt")
    assert "what this file was made against is not what" in taken(studio, "--as-read").stderr
    (studio / "inbox" / "b.txt").unlink()
    hand_in(studio, sat.text())
    answer = taken(studio, "--as-read")
    assert (answer.exit_code, answer.stderr) == (0, "")
