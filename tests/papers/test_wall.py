"""The wall chart: the one rule, the guide's short form, what is due this week, and its day."""

import re
from datetime import date, timedelta
from pathlib import Path

from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.wall import WallChart
from tests.papers.rig import DAY, ROOT, pages, papers, words_in
from tests.papers.test_burn_sheet import burning, cycles
from tests.papers.test_notice import BATCH
from tests.records_in_text import BASE, burn, proven
from tests.told import rig

GUIDE = ROOT / "site_templates" / "guides" / "guides" / "hot-wax-and-flame.md"


def wall(files: dict[str, str], day: date = DAY) -> WallChart:
    """Return what the chart of a small studio shows."""
    content = rig.pages(files, day)["papers/wall"].content
    assert isinstance(content, WallChart)
    return content


def test_it_has_the_guides_short_form_word_for_word() -> None:
    """Two wordings of one rule would be two rules."""
    text = Path(GUIDE).read_text("utf-8")
    short = text.split("> **Caution: the short form**")[1].split("\n\n")[0]
    lines = re.findall(r"^> - (.+)$", short, re.MULTILINE)
    assert len(lines) == 5
    assert wall(proven()).hot == tuple(lines)


def test_the_rule_and_the_day_are_on_it_in_both_editions() -> None:
    """It says when it is void, in print too: the words are no script's."""
    for edition in Edition:
        text = words_in(papers(edition)["papers/wall"])
        assert "Nothing leaves untested. Only what stands under Approved" in text
        assert "Of 2026-05-01. Void after that day" in text
        assert "Stay in the room while wax melts or a candle burns." in text


def test_what_is_due_within_seven_days_is_on_it() -> None:
    """A candle that is cured on the sixth day after today is due this week; on the seventh not."""
    made = date(2026, 3, 1)  # and 14 days of cure
    for days, is_due in ((8, True), (7, False), (14, True), (20, True)):
        chart = wall(burning(0), made + timedelta(days=days))
        told = [title for day in chart.due for title in day.titles]
        assert bool(told) == is_due, days
    first = wall(burning(0), made + timedelta(days=14)).due[0]
    assert (first.called, first.titles) == ("Today", ("May be lit: Fig, candle A",))
    later = wall(burning(0), made + timedelta(days=8)).due[0]
    assert (later.called, later.on) == ("Sunday", date(2026, 3, 15))


def test_a_batch_that_cures_is_due_when_its_cure_ends() -> None:
    """Poured on 2026-04-20, 14 days of cure: 2026-05-04, which is a Monday."""
    weighed = "weighed: {waxes/soy: 900.0 g, fragrances/fig-oil: 72.0 g}\n---\n"
    batch = BATCH.replace("on: 2026-04-01", "on: 2026-04-20").partition("given:")[0] + weighed
    files = {**proven(), "batches/fig-1.md": batch}
    titles = {day.on: day.titles for day in wall(files).due}
    assert titles.get(date(2026, 5, 4)) == ("Cure ends: Fig, batch of 2026-04-20",)
    assert not wall(files, date(2026, 5, 5)).due


def test_what_finds_no_room_is_counted() -> None:
    """Twenty candles that may be lit: sixteen stand there, and it says that four more do not."""
    files = dict(BASE)
    for number in range(20):
        letter = chr(ord("A") + number)
        files[f"burns/fig-{letter.lower()}.md"] = burn(letter, cycles=[], end="", candles=20)
    chart = wall(files)
    assert sum(len(day.titles) for day in chart.due) == 16
    assert chart.more.startswith("And ")
    counted = int(re.findall(r"\d+", chart.more)[0])
    assert counted == 4
    assert wall(burning(1)).more == ""


def test_without_anything_due_it_says_so() -> None:
    """An empty list would look like a forgotten one."""
    chart = wall(proven(), date(2026, 6, 1))
    assert chart.due == ()
    assert "Nothing is due by the records." in rig.html(proven(), date(2026, 6, 1))["papers/wall"]


def test_a_candle_that_must_not_be_lit_is_not_due() -> None:
    """It would be the chart that had it lit."""
    files = proven()
    files["burns/fig-a.md"] = burn("A").replace("flame: 22 mm", "flame: 99 mm", 1)
    files["burns/fig-b.md"] = burn("B", cycles=cycles(1), end="")
    told = [title for day in wall(files).due for title in day.titles]
    assert not [title for title in told if "candle B" in title]


def test_open_incidents_are_on_it() -> None:
    """By number and by what they are about; those that are closed are not."""
    told = pages()["papers/wall"].content.open
    assert [re.findall(r"Incident (\d+)", one) for one in told] == [["3"], ["4"]]
