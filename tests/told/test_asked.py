"""What is asked of makers and suppliers: the letter, what waits, and what a quote would cost."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from handbook_builder.derived.inquiries import unanswered
from handbook_builder.pages.edition import Edition
from tests.records_in_text import VESSEL, WICK, linked, proven
from tests.told.rig import account, html, pages, plain, run

ASKED = "asked:\n  - {what: heat and wall, on: 2026-02-01, reminded: [2026-03-01, 2026-05-09]%s}\n"


def studio(answer: str = "") -> dict[str, str]:
    """Return a proven studio that asked about its vessel."""
    files = proven()
    files["vessels/tumbler.md"] = VESSEL.replace("drinkware", f"{ASKED % answer}drinkware")
    return files


@pytest.mark.parametrize(
    ("answer", "day", "days"),
    [
        ("", date(2026, 5, 1), 89),  # 27 of February, 31, 30, 1
        (", answered: 2026-05-02, by: anna", date(2026, 5, 1), 89),
        (", answered: 2026-05-02, by: anna", date(2026, 5, 2), None),
        ("", date(2026, 1, 31), None),
    ],
)
def test_a_question_waits_from_its_day_until_its_answer(
    answer: str, day: date, days: int | None
) -> None:
    """As of each day, whatever was written down later."""
    found = unanswered(linked(studio(answer)), day)
    assert [one.days for one in found] == ([] if days is None else [days])


def test_the_board_says_what_waits_and_since_when(tmp_path: Path) -> None:
    """A reminder that is still to come counts for nothing."""
    page = html(studio())["board/index"]
    assert "heat and wall" in page
    assert "89 days, asked 2 times" in page
    told = json.loads(run(tmp_path, studio(), "due", "--json", "--as-of", "2026-05-01").stdout)
    assert told["asked"] == [
        {"item": "vessels/tumbler", "what": "heat and wall", "on": "2026-02-01",
         "reminded": ["2026-03-01"], "days": 89}
    ]  # fmt: skip
    assert "Nothing waits for an answer." in html(proven())["board/index"]


def test_the_floor_is_not_told_who_answered() -> None:
    """The owner is."""
    files = studio(", answered: 2026-04-02, by: annabel")
    assert "annabel" in html(files)["vessels/tumbler"]
    assert "annabel" not in html(files, edition=Edition.FLOOR)["vessels/tumbler"]


def test_the_letter_has_this_studios_own_burns(tmp_path: Path) -> None:
    """Three candles of 15 h 10 min: three cycles of 4 h and one of 3 h 10 min, 52 degrees hot."""
    said = plain(run(tmp_path, studio(), "ask", "tumbler").output)
    assert "Test studio To: Jar house" in said
    assert "3 of our own test candles in it a flame burned up to 4 h at a time" in said
    assert "up to 15 h 10 min in one vessel. The hottest wall that we measured was 52 °C." in said
    for number in range(1, 10):
        assert f" {number}. " in said
    assert "____" in said
    assert "asked: [{what: all questions of our letter" in said


def test_another_vessel_is_asked_about_by_burns_elsewhere(tmp_path: Path) -> None:
    """And without any burn the letter says so."""
    files = {**studio(), "vessels/bowl.md": VESSEL}
    assert "We have not burned a candle in it. In other vessels 3 of" in plain(
        run(tmp_path, files, "ask", "bowl").output
    )
    bare = {path: text for path, text in files.items() if not path.startswith("burns/")}
    empty = tmp_path / "bare"
    empty.mkdir()
    assert "We have not burned a candle yet." in plain(run(empty, bare, "ask", "bowl").output)


def test_each_kind_is_asked_what_only_its_maker_knows(tmp_path: Path) -> None:
    """An oil for its certificate, sheet and changes; a wick with a metal core for its lead."""
    files = {**studio(), "wicks/zinc-1.md": WICK.replace("core: cotton", "core: zinc")}
    oil = run(tmp_path, files, "ask", "fig-oil").output
    for word in ("certificate", "safety data sheet", "before its make changes"):
        assert word in oil
    assert "0.06 % of lead" in run(tmp_path, files, "ask", "wicks/zinc-1").output
    assert "lead" not in run(tmp_path, files, "ask", "cotton-8").output
    assert run(tmp_path, files, "ask", "tumblr").exit_code == 2


def test_a_letter_is_written_to_a_file_and_never_half(tmp_path: Path) -> None:
    """The same text; where it cannot be written it is a wrong call."""
    files, file = studio(), tmp_path / "letter.txt"
    printed = run(tmp_path, files, "ask", "tumbler").stdout
    assert run(tmp_path, files, "ask", "tumbler", "--out", str(file)).exit_code == 0
    assert file.read_text("utf-8") == printed
    assert run(tmp_path, files, "ask", "tumbler", "--out", str(tmp_path)).exit_code == 2


QUOTE = "quote: {on: 2026-04-01, price: 2.10, minimum: 48, freight: 36.00}\n"


def quoted() -> dict[str, str]:
    """Return a studio with a vessel that was offered and not bought."""
    return {**proven(), "vessels/mug.md": VESSEL.replace("drinkware", f"{QUOTE}drinkware")}


def test_a_quote_takes_part_in_the_comparison_and_is_marked() -> None:
    """2.10 and a 48th of 36.00 are 2.85; 36.00 of 136.80 is freight, 26.3 %."""
    files = quoted()
    (mug,) = (one for one in pages(files)["vessels/index"].content.keep.rows
              if one.link.path == "vessels/mug")  # fmt: skip
    assert (plain(mug.landed), plain(mug.freight)) == ("2.85 EUR", "26.3 %")
    assert "By a quote of 2026-04-01, from 48 on." in html(files)["vessels/index"]
    floor = html(files, edition=Edition.FLOOR)["vessels/index"]
    for word in ("quote", "2.85", "2.10"):
        assert word not in floor


def test_a_bill_takes_the_place_of_a_quote_and_a_quote_is_worth_no_stock() -> None:
    """Before its day there is none, either."""
    files = quoted()
    mug = "vessels/mug"
    assert mug not in _prices(files, date(2026, 3, 31))
    files["purchases/one.md"] = (
        "---\nsupplier: jar-house\non: 2026-04-20\nlines:\n"
        "  - {item: vessels/mug, quantity: 10, price: 30.00}\n---\n"
    )
    assert _prices(files, date(2026, 4, 19))[mug] == Decimal("2.85")
    assert _prices(files, date(2026, 4, 20))[mug] == Decimal(3)


def _prices(files: dict[str, str], day: date) -> dict[str, Decimal]:
    money = account(files, day).money
    assert money is not None
    return {str(item): price.newest for item, price in money.prices.by_item.items()}
