"""The recall notice: what it says, whom it does not name, and when there is none."""

from datetime import date

import pytest

from handbook_builder.pages.edition import Edition
from tests.papers.rig import account, alone, pages, papers, words_in
from tests.records_in_text import DAY, proven
from tests.told import rig

INCIDENT = """---
number: 1
on: 2026-04-20
about: recipes/fig
what: "{what}"
---
"""
BATCH = """---
recipe: fig
on: 2026-04-01
made: 9
by: ilse
lots: {}
given:
  - {on: 2026-04-16, to: "Corner Deli", count: 2, how: sold}
  - {on: 2026-04-18, to: "Ida Example", count: 3, how: gift}
---
"""


def small(what: str = "The glass cracked.", **files: str) -> dict[str, str]:
    """Return a studio with an open incident about its one product."""
    return {**proven(), "incidents/one.md": INCIDENT.format(what=what), **files}


def notice(files: dict[str, str], ident: str = "one") -> str:
    """Return the words of a notice of a small studio."""
    return words_in(rig.html(files)[f"papers/{ident}/notice"])


def test_there_is_one_of_each_open_incident_and_no_other() -> None:
    """Of the demo's four, two are closed; the page of an open one leads to its notice."""
    found = {path for path in alone() if path.endswith("/notice")}
    assert found == {"papers/incident-3/notice", "papers/incident-4/notice"}
    for number, is_there in ((1, False), (2, False), (3, True), (4, True)):
        link = pages()[f"incidents/incident-{number}"].content.notice
        assert (link is not None) == is_there, number


def test_the_floor_edition_has_none() -> None:
    """Its batches bear other names than their labels."""
    assert not [path for path in alone(Edition.FLOOR) if path.endswith("/notice")]
    assert pages(Edition.FLOOR)["incidents/incident-4"].content.notice is None


@pytest.mark.parametrize(
    "said",
    [
        # Regulation (EU) 2023/988, Art. 36(2), read second-hand: the headline.
        "Product safety recall Lantern Shed Studio",
        # By hand from the batch: 12 and 5 candles, on 2025-11-22 and 2026-03-28.
        (
            "Lavender, small tin P6Q7-63UX-DSB8 lavender-tin-2025-11-08 2025-11-08 17 "
            "2025-11-22 to 2026-03-28"
        ),
        "A buyer reports a flame 'as long as a finger' on the second evening and put it out.",
        "Stop using it at once. Do not light it again.",
        "your money back, or another candle. Either costs you nothing.",
        "Telephone or web page, free of charge: hello@lantern-shed.example, +00 000 0000",
        "Please tell others who may have one",
        "1 Example Lane, 0000 Exampleton",
        "A working aid, and no legal advice: check it against the law in force",
        "They are not a certification",
        "European Union. Regulation (EU) 2023/988, Article 36",
        "Great Britain. The General Product Safety Regulations 2005.",
        "United States. 16 CFR 1115.27",
        "from memory, unconfirmed",
        "Prints on 1 page, A4 or Letter.",
    ],
)
def test_the_notice_of_the_demo_says(said: str) -> None:
    """What the law asks of it, as far as it was read, and how sure that is."""
    assert said in words_in(papers()["papers/incident-4/notice"])


def test_it_names_no_buyer() -> None:
    """Not in the notices of the demo, and not in a small one, sold or given."""
    for path in ("papers/incident-3/notice", "papers/incident-4/notice"):
        text = words_in(papers()[path]).casefold()
        for batch in account().studio.batches.values():
            assert [given.to for given in batch.given if given.to.casefold() in text] == []
    text = notice(small(**{"batches/b.md": BATCH}))
    assert "b 2026-04-01 5 2026-04-16 to 2026-04-18" in text
    assert "Corner Deli" not in text
    assert "Ida Example" not in text


def test_nothing_to_call_back_is_said() -> None:
    """No batch has left: a notice would only frighten."""
    assert "so there is nothing to call back. Do not post this." in notice(small())


def test_without_a_way_to_reach_the_studio_there_is_a_blank() -> None:
    """`contact` is not on file: whoever posts it writes it in."""
    assert "Telephone or web page, free of charge: Please tell others" in notice(small())


def test_only_the_markets_of_the_studio_are_told() -> None:
    """The small studio sells in the European Union alone."""
    text = notice(small())
    assert "European Union" in text
    assert "United States" not in text


@pytest.mark.parametrize(
    ("what", "found"),
    [
        ("A voluntary step, in rare cases the glass cracks.", "voluntar, in rare"),
        ("Perhaps it cracks.", "perhaps"),
        ("The glass cracked and wax ran out.", ""),
        ("A rarely used stand cracked.", ""),
    ],
)
def test_words_that_play_it_down_are_named(what: str, found: str) -> None:
    """Article 36 forbids them (read second-hand): the part that is cut off says which they are."""
    text = notice(small(what))
    assert ("plays the hazard down" in text) == bool(found)
    assert f"plays the hazard down: {found}." in text or not found


def test_a_closed_one_is_gone_from_the_day_it_was_closed() -> None:
    """And there is none of an incident that is not yet known."""
    closed = INCIDENT.format(what="It cracked.").replace(
        "\n---\n", "\nclosed: {on: 2026-04-28, finding: A carton was dropped.}\n---\n"
    )
    files = {**proven(), "incidents/one.md": closed}
    assert "papers/one/notice" not in rig.pages(files)
    from datetime import date  # noqa: PLC0415 -- for this one day

    assert "papers/one/notice" in rig.pages(files, date(2026, 4, 27))
    assert "papers/one/notice" not in rig.pages(files, date(2026, 4, 19))


def test_the_page_of_an_incident_says_when_it_was_told() -> None:
    """Where that is later, it has both days; and no day that is still to come."""
    files = small()
    late = files["incidents/one.md"].replace("about:", "told: 2026-04-25\nabout:")
    later = {**files, "incidents/one.md": late}
    assert "Happened 2026-04-20 Told 2026-04-25" in words_in(rig.html(later)["incidents/one"])
    same_day = {**files, "incidents/one.md": late.replace("04-25", "04-20")}
    for of, day in ((files, DAY), (same_day, DAY), (later, date(2026, 4, 24))):
        page = words_in(rig.html(of, day)["incidents/one"])
        assert "Reported 2026-04-20 About" in page
        assert "Told" not in page
