"""However its readings come in, a candle of a ladder proves nothing: take, log, amend, bring."""

from pathlib import Path

import pytest

from handbook_builder.derived.account import Account, account_of
from handbook_builder.workshop import studio_in
from tests.bench.calls import called
from tests.handover.kit import Sitting, hand_in, sitting, small_code, stripped, taken
from tests.records_in_text import BASE, DAY, burn, proven, whole_life, write

LETTERS = "ABC"
WHOLE = {
    letter: burn(letter, more="as: ladder\n", made="  rungs: 3\n") for letter in LETTERS
}  # fmt: skip


def studio(folder: Path, cut: int) -> Path:
    """Write a studio in which three candles of a ladder burned so many of their four cycles."""
    files = {
        f"burns/fig-{letter.lower()}.md": text if cut == len(whole_life()) else stripped(text, cut)
        for letter, text in WHOLE.items()
    }
    write(folder / "records", {**BASE, **files})
    return folder


def account(folder: Path) -> Account:
    """Return what comes of the records, which must be without fault."""
    found, problems = studio_in(folder / "records")
    assert found is not None, [str(one) for one in problems]
    return account_of(found, DAY)


def proves_nothing(folder: Path) -> None:
    """All three came through, each still says so twice, and the product is untested."""
    told = account(folder)
    fig = told.judged.products["fig"]
    assert [one.id for one in fig.evidence.ladder] == ["fig-a", "fig-b", "fig-c"]
    assert fig.evidence.passed == fig.evidence.burning == ()
    assert fig.status == "untested"
    for letter in LETTERS.lower():
        text = (folder / "records" / "burns" / f"fig-{letter}.md").read_text("utf-8")
        assert (text.count("as: ladder"), text.count("rungs: 3")) == (1, 1)


def sat(letter: str, cut: int, **more: str) -> Sitting:
    """Return what was read at the bench of a candle after its first cycles."""
    return sitting(WHOLE[letter], f"fig-{letter.lower()}", cut, small_code(), **more)


def test_the_same_three_would_prove_it(tmp_path: Path) -> None:
    """Else all that follows would say little: without the two lines the product is approved."""
    write(tmp_path / "records", proven())
    assert account(tmp_path).judged.products["fig"].status == "approved"


@pytest.mark.parametrize("cut", range(4))
def test_taken_from_the_bench(tmp_path: Path, cut: int) -> None:
    """From its first cycle, or any later one, to its end."""
    folder = studio(tmp_path, cut)
    for at, letter in enumerate(LETTERS):
        hand_in(folder, sat(letter, cut, session=f"9f2c41d07a6be31{at}").text(), f"{letter}.txt")
    answer = taken(folder, "--as-read")
    assert answer.exit_code == 0, answer.output
    proves_nothing(folder)


@pytest.mark.parametrize("line", ["as: test", "rungs: 0", "made: {rungs: 0}", "void: no"])
def test_no_file_says_that_it_is_none(tmp_path: Path, line: str) -> None:
    """A file that is handed over has readings alone: another key keeps it in the inbox."""
    folder = studio(tmp_path, 0)
    key, _, value = line.partition(": ")
    one = sat("A", 0)
    hand_in(folder, Sitting(one.burn, one.candle, one.code, one.record, one.cycles, one.end,
                            more={key: value}).text())  # fmt: skip
    before = (folder / "records" / "burns" / "fig-a.md").read_bytes()
    answer = taken(folder, "--as-read")
    assert answer.exit_code == 1
    assert (folder / "records" / "burns" / "fig-a.md").read_bytes() == before


def test_logged_and_amended(tmp_path: Path) -> None:
    """A reading of a cycle of each, and the end, mended by `log --amend`."""
    folder = studio(tmp_path, len(whole_life()))
    mended = (("a", "1", "--flame", "21 mm"), ("b", "2", "--wall", "51 degC"),
              ("c", "3", "--after-smoke", "7 s"))  # fmt: skip
    for letter, cycle, option, value in mended:
        words = ("log", f"fig-{letter}", "--amend", cycle, option, value, "--as-read")
        said = called(folder, *words, "--as-of", f"{DAY}")
        assert said.exit_code == 0, said.output
    for letter in LETTERS.lower():
        words = ("log", f"fig-{letter}", "--amend", "end", "--left", "3.9 g", "--as-read")
        said = called(folder, *words, "--as-of", f"{DAY}")
        assert said.exit_code == 0, said.output
    proves_nothing(folder)


def test_brought_as_a_table(tmp_path: Path) -> None:
    """Handed out, taken away and brought in again, by the proposed mapping."""
    folder = studio(tmp_path, len(whole_life()))
    called(folder, "tables", str(folder / "out"), "--as-of", f"{DAY}")
    for path in (folder / "records" / "burns").iterdir():
        path.unlink()
    table = folder / "out" / "burns.csv"
    called(folder, "bring", str(table), "--as", "burns")
    mapping = table.with_name("burns.csv.yml")
    mapping.write_text(mapping.read_text("utf-8").replace("\nwhole:", "\nwhole: yes"), "utf-8")
    said = called(folder, "bring", str(table), "--write")
    assert said.exit_code == 0, said.output
    proves_nothing(folder)
