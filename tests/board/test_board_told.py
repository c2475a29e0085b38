"""The board as it is told: on its page, in the terminal, for programs and for calendars."""

import json
from datetime import date
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from icalendar import Calendar

from handbook_builder.cli import main
from handbook_builder.derived.board import board_of
from handbook_builder.pages.board.board import BoardGroup, BoardPage, board_content, board_page
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.publish.views import Surroundings, environment, render
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for
from tests.board.rig import DAY, account, cycle, going_on, habit
from tests.pages.conftest import RECORDS, VIEWS, catalogue
from tests.records_in_text import BASE, OIL, burn, write

ROOT = RECORDS.parent
TIMES = "\N{MULTIPLICATION SIGN}"
HELPERS = {
    "helpers__ash": "---\nmay: [burn]\n---\n",
    "helpers__birch": "---\nmay: [burn, pour]\n---\n",
}


class AnyPage:
    """Every page there could be, for a view that is shown alone."""

    def __contains__(self, path: object) -> bool:
        """Say that the page is there."""
        return True


@lru_cache(maxsize=16)
def demo(day: str = "2026-05-01") -> Page:
    """Return the page of the demo's board."""
    found, _ = account_in(RECORDS, date.fromisoformat(day))
    assert found is not None
    return board_page(Desk(found, words_for(found.studio, catalogue())))


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def page(burns: dict[str, str], day: date = DAY, **files: str) -> BoardPage:
    """Return what the board of a small studio shows."""
    found = account(burns, day, **files)
    return board_content(Desk(found, Words.load(catalogue())), board_of(found))


def group(found: BoardPage, name: str) -> BoardGroup:
    """Return one group of candles."""
    (one,) = [each for each in found.groups if each.id == name]
    return one


def due(*words: str, folder: Path = ROOT) -> Result:
    """Run `handbook due`."""
    return CliRunner().invoke(main, ["due", "--studio", str(folder), *words])


def test_the_demo_has_each_kind() -> None:
    """Two candles rest and one cures; two products have a day, hand-worked beside it.

    Lemon verbena: C is cured on 2 May, and lasts as long as A and B at their rates, 34 h 10 min:
    9 cycles, 2 to 10 May. Smoked vanilla: one more, poured on 1 May, cured on 8 May; its sisters
    lasted 19.75 h and 19.22 h, 19 h 29 min in the mean: 5 cycles, 8 to 12 May.
    """
    content = demo().content
    assert [(one.id, len(one.rows)) for one in content.groups] == [
        ("lit", 0),
        ("resting", 2),
        ("curing", 1),
    ]
    dated = {one.link.path: one.earliest for one in content.outlooks.rows}
    assert dated["products/lemon-verbena-tumbler"] == "2026-05-10"
    assert dated["products/smoked-vanilla-tin"] == "2026-05-12"


def test_what_is_not_proven_by_tests_alone_has_no_day() -> None:
    """Failed, held and suspended products stand apart, without a day, each with what it lacks."""
    content = demo().content
    apart = {one.link.path: one for one in content.outlooks.undated}
    for path in ("products/pine-bowl", "products/black-tea", "products/lavender-tin"):
        assert apart[path].earliest == "no date"
        assert apart[path].how
    for one in content.outlooks.rows:
        assert one.link.path not in apart
        assert one.word.word in ("In test", "Untested")


def test_the_page_can_be_shown_on_any_day() -> None:
    """Eight days across the demo's life, with all that was on the board then."""
    seen: set[str] = set()
    for day in ("2025-09-25", "2025-11-01", "2025-12-01", "2026-01-15", "2026-02-10",
                "2026-03-17", "2026-04-20", "2026-05-02"):  # fmt: skip
        page_then = demo(day)
        seen |= {one.id for one in page_then.content.groups if one.rows}
        around = Surroundings(AnyPage(), frozenset(), date.fromisoformat(day))
        text = render(environment([VIEWS]), page_then, around)
        assert "They are not a certification" in text
        assert 'href="board.ics"' in text
    assert {"lit", "resting", "curing", "apart"} <= seen


def test_what_may_be_lit_says_to_trim_first() -> None:
    """Wick and cycle are those of the protocol; the number is of the cycle to come."""
    found = page({"a": going_on("A", cycle("2026-03-30", 400.0, 374.0))})
    lit = group(found, "lit")
    assert plain(lit.lead).startswith("Trim each wick to 6 mm first. A cycle is 4 h;")
    (row,) = lit.rows
    assert [plain(one) for one in row.cells] == ["2", "2026-03-30", "about 12 h 30 min, 4 cycles"]
    assert (row.word, row.minds) == (None, ())


def test_what_is_overdue_comes_first_and_says_so() -> None:
    """B was cured on 15 March and is overdue; A was lit two days ago and is not."""
    a = going_on("A", cycle("2026-03-30", 400.0, 374.0), candles=2)
    found = page({"a": a, "b": going_on("B", candles=2)})
    late, ready = group(found, "lit").rows
    assert late.word is not None
    assert (late.word.word, plain(late.minds[0])) == (
        "Overdue",
        "Cured for 17 days, and not lit yet.",
    )
    assert late.cells[:2] == ("1, first light", "not yet; cured since 2026-03-15")
    assert ready.word is None
    assert [one[:2] for one in found.tally] == [
        (2, "may be lit today"),
        (1, "of them overdue"),
        (0, "resting"),
        (0, "curing"),
    ]


def test_a_candle_that_was_left_says_for_how_long() -> None:
    """Last lit on 20 March, told on 1 April."""
    found = page({"a": going_on("A", cycle("2026-03-20", 400.0, 374.0))})
    (row,) = group(found, "lit").rows
    assert plain(row.minds[0]) == "Not lit for 12 days."


@pytest.mark.parametrize(
    ("per_day", "name", "mind"),
    [
        (2, "lit", "Only from 14:30 on: until then it rests."),
        (1, "resting", "Rested today from 14:30, but the studio burns no more than 1 cycle a day."),
    ],
)
def test_the_clock_of_a_rest(per_day: int, name: str, mind: str) -> None:
    """Lit today at 9:30 for 4 h, with a rest of 1 h."""
    candle = {"a": going_on("A", cycle("2026-04-01 09:30", 400.0, 374.0))}
    (row,) = group(page(candle, studio=habit(per_day)), name).rows
    assert row.minds == (mind,)


def test_a_rest_past_midnight() -> None:
    """Lit today at 22:00: from 3:00 tomorrow."""
    candle = {"a": going_on("A", cycle("2026-04-01 22:00", 400.0, 374.0))}
    (row,) = group(page(candle), "resting").rows
    assert row.cells[1] == "2026-04-02, from 03:00"


def test_a_spoiled_candle_and_one_at_its_end() -> None:
    """What a candle cannot become any more, and what its record still lacks, is said."""
    spoiled = cycle("2026-03-30", 400.0, 292.0).replace("pool: 70 mm, ", "")
    (row,) = group(page({"a": going_on("A", spoiled)}), "lit").rows
    assert row.minds == (
        "By its weight it is at its end. If it went out, write 'end' into its record.",
        "As its record stands it cannot pass. Cycle 1 lacks the reading 'pool'.",
    )


def test_what_must_stay_unlit_says_why() -> None:
    """A sister failed: the other is set apart, and counted neither as ready nor as curing."""
    tall = cycle("2026-03-30", 400.0, 374.0).replace("flame: 22 mm", "flame: 80 mm")
    found = page({"a": going_on("A", tall, candles=2), "b": going_on("B", candles=2)})
    (row,) = group(found, "apart").rows
    assert row.minds == ("Test candle A (fig-a) failed.",)
    assert group(found, "lit").rows == group(found, "curing").rows == ()
    # Somebody may have it in a calendar as allowed.
    assert [(one.id, one.called_off) for one in found.events] == [("lit/fig-b/1", True)]


def test_how_the_day_came_about() -> None:
    """The day rests on candles, on what must be poured, on a life and on the studio's habit."""
    found = page({"a": going_on("A", cycle("2026-03-30", 400.0, 374.0))})
    (row,) = found.outlooks.rows
    assert [plain(one) for one in row.how] == [
        "3 more must pass.",
        "Counted on: candle A, on the board.",
        "2 more must be poured; poured today, they are cured on 2026-04-15.",
        (
            "Reckoned with 16 h 30 min a candle, the mean of 1 sister candle at the rate they burn "
            "now, in cycles of 4 h, 1 a day."
        ),
    ]
    assert plain(found.bases[0]) == (
        "Fig, candle A: 374.0 g less 292.0 g (its vessel and wick, by its first weighing less "
        "what was poured) less 0.0 g of wax that stays (none of its make-up has gone out yet, so "
        "nothing is taken off), at 6.50 g/h, the rate of its last cycle."
    )


def test_an_unknown_life_is_said_plainly() -> None:
    """No candle was ever lit: no day, and why."""
    (row,) = page({}).outlooks.rows
    assert row.earliest == "not known yet"
    assert row.how[-1] == (
        "How long it burns is not known: no candle of this make-up, or much like it, has a "
        "measured rate. Approval cannot come before 2026-04-15."
    )


def test_tests_that_alone_approve_nothing() -> None:
    """With the certificate missing there is a day for the tests, and none for the product."""
    oil = OIL.replace("certificate: {on: 2025-11-01}\n", "")
    burns = {"a": going_on("A", cycle("2026-03-30", 400.0, 374.0))}
    (row,) = page(burns, **{"fragrances__fig-oil": oil}).outlooks.undated
    assert row.earliest == "no date"
    assert row.how[:2] == (
        "The conformity certificate of fig-oil, as it is sold now, is not on file.",
        "Its test candles could be through on 2026-04-19; that alone approves nothing.",
    )


def test_what_a_helper_could_do() -> None:
    """Who may, from the helpers' records, and what there is to do."""
    found = page({"a": going_on("A")}, **HELPERS).helping
    assert (found.burners, found.burn) == ("Ash, Birch", "1 candle may be lit today")
    assert (found.pourers, found.pour) == ("Birch", (f"2 {TIMES} Fig",))
    alone = page({letter: burn(letter.upper()) for letter in "abc"}).helping
    assert (alone.burners, alone.burn) == (
        "nobody: no helper's record says so",
        "nothing may be lit today",
    )
    assert alone.pour == ("nothing needs pouring",)


def test_the_terminal_says_what_the_page_says() -> None:
    """Every sentence of the page stands in the terminal, and the exit status is 0."""
    found = due()
    assert (found.exit_code, found.stderr) == (0, "")
    content = demo().content
    rows = [row for each in content.groups for row in each.rows]
    outlooks = (*content.outlooks.rows, *content.outlooks.undated)
    sentences = [
        *(cell for row in rows for cell in row.cells),
        *(one for row in outlooks for one in (row.link.title, row.earliest, *row.how)),
        *content.helping.pour,
    ]
    assert len(sentences) > 30
    for one in sentences:
        assert one in found.stdout


def test_the_terminal_on_a_busy_day(tmp_path: Path) -> None:
    """Overdue, its note, its cells and its lead are all printed."""
    files = {**BASE, "burns/fig-a.md": going_on("A")}
    write(tmp_path / "records", files)
    told_of = plain(due("--as-of", "2026-04-01", folder=tmp_path).stdout)
    assert "  - Fig, candle A (Overdue)\n    Cycle: 1, first light; Last lit: not yet;" in told_of
    assert "Overdue means: cured more than 14 days ago" in told_of
    assert "Trim each wick to 6 mm first." in told_of


def test_the_board_for_programs() -> None:
    """The same board as JSON, with plain days and hours."""
    found = json.loads(due("--json").stdout)
    assert (found["as_of"], found["cycles_a_day"]) == ("2026-05-01", 1)
    candle = found["candles"]["lemon-verbena-tumbler-a"]
    # 270.7 g less 234.8 g are 35.9 g; at (5.375 + 5.35 + 5.25) / 3 = 5.325 g/h that is 6.74 h.
    assert candle["hours_left"] == pytest.approx(35.9 / 5.325)
    assert (candle["stage"], candle["may_be_lit_from"]) == ("resting", "2026-05-02T05:30")
    product = found["products"]["lemon-verbena-tumbler"]
    assert (product["approved_on"], product["to_pour"]) == ("2026-05-10", 0)
    failed = found["products"]["pine-bowl"]
    assert (failed["approved_on"], failed["tests_through_on"]) == (None, None)
    assert failed["also_missing"][0]["code"] == "candle_failed"
    assert found["may_pour"] == ["ilse", "wren"]


def test_a_time_of_day_for_programs(tmp_path: Path) -> None:
    """A rest that ends within the day has its time in ISO form."""
    timed = going_on("A", cycle("2026-04-01 22:00", 400.0, 374.0))
    write(tmp_path / "records", {**BASE, "burns/fig-a.md": timed})
    found = json.loads(due("--json", "--as-of", "2026-04-01", folder=tmp_path).stdout)
    assert found["candles"]["fig-a"]["may_be_lit_from"] == "2026-04-02T03:00"


def test_the_calendar_file(tmp_path: Path) -> None:
    """The days of the demo: what is cured, what may be lit, the earliest approvals."""
    file = tmp_path / "board.ics"
    assert due("--ics", str(file)).exit_code == 0
    days = {
        str(one["SUMMARY"]): one.decoded("DTSTART")
        for one in Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    }
    lemon = "Lemon verbena, amber tumbler"
    assert days == {
        f"Cured, may be lit: {lemon}, candle C": date(2026, 5, 2),
        f"May be lit: {lemon}, candle A": date(2026, 5, 2),
        f"May be lit: {lemon}, candle B": date(2026, 5, 2),
        f"Earliest approval: {lemon}": date(2026, 5, 10),
        "Earliest approval: Smoked vanilla, small tin": date(2026, 5, 12),
        # By the rate in like vessels: poured on 1 May, cured on the 15th, seven cycles.
        "Earliest approval: Pine, soapstone pot": date(2026, 5, 21),
    }


def test_the_calendar_names_nobody(tmp_path: Path) -> None:
    """The studio has a name there; no helper, no recipient and no address of a place has."""
    file = tmp_path / "board.ics"
    due("--ics", str(file))
    text = file.read_text("utf-8").casefold()
    names = [path.stem for path in (RECORDS / "helpers").glob("*.md")]
    assert names
    for one in (*names, "hello@", "1 example lane", "exampleton"):
        assert one not in text


def test_a_calendar_that_cannot_be_written(tmp_path: Path) -> None:
    """A folder that is not there is a wrong call, and says so."""
    found = due("--ics", str(tmp_path / "nowhere" / "board.ics"))
    assert found.exit_code == 2
    assert "cannot be written" in found.stderr


def test_records_at_fault_show_no_board(tmp_path: Path) -> None:
    """A board of records that cannot be read would miss the candle that matters: exit 1."""
    write(tmp_path / "records", {**BASE, "burns/fig-a.md": "---\nrecipe: fig\n---\n"})
    found = due(folder=tmp_path)
    assert (found.exit_code, found.stdout) == (1, "")
