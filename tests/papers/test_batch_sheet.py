"""The batch sheet: what one candle takes, boxes for what went in, and its mark."""

import pytest

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.batch_sheet import BatchSheet
from handbook_builder.pages.products.pour_sheet import sheet_of
from handbook_builder.verdicts.approval import Status
from handbook_builder.workshop import words_for
from tests.pages.conftest import catalogue
from tests.papers.rig import account, alone, pages, papers, words_in


def desk() -> Desk:
    """Return what the demo's pages are told from."""
    return Desk(account(), words_for(account().studio, catalogue()))


def content(ident: str) -> BatchSheet:
    """Return what the batch sheet of a product of the demo shows."""
    found = pages()[f"papers/{ident}/batch-sheet"].content
    assert isinstance(found, BatchSheet)
    return found


def test_there_is_one_of_all_that_may_be_poured_marked_where_it_is_a_test() -> None:
    """None where its pour sheet has no weights, and the same mark where that bears one."""
    marked = set()
    for ident, product in account().judged.products.items():
        sheet = sheet_of(desk(), ident)
        path = f"papers/{ident}/batch-sheet"
        assert (path in alone()) == (not sheet.refused), ident
        assert (path in alone(Edition.FLOOR)) == (not sheet.refused), ident
        if sheet.refused:
            continue
        assert content(ident).mark == sheet.mark
        assert bool(sheet.mark) == (product.status is not Status.APPROVED)
        assert (f'<p class="paper__mark">{sheet.mark}</p>' in papers()[path]) == bool(sheet.mark)
        marked.add(bool(sheet.mark))
    assert marked == {True, False}


def test_it_has_a_box_for_the_lot_of_each_item_and_for_each_mass() -> None:
    """Whatever goes into the candle or around it; pieces are counted, and not weighed."""
    items = content("cedar-fig").items
    assert [one.title for one in items] == [
        "Soy blend", "Cedar fig oil", "Amber tumbler", "Cotton 8", "Front label", "Caution label",
        "Dust cover",
    ]  # fmt: skip
    assert [one.is_weighed for one in items] == [True, True, *[False] * 5]
    # 182.7 g net at 8 % of the wax: 182.7 / 1.08 = 169.2, and 13.5 of oil.
    assert [one.each.split("\N{NO-BREAK SPACE}")[0] for one in items[:2]] == ["169.2", "13.5"]
    text = words_in(papers()["papers/cedar-fig/batch-sheet"])
    for asked in ("Poured on", "By", "Made", "Lot, as on the package", "Weighed", "Note"):
        assert asked in text


def test_its_weights_are_those_of_the_pour_sheet() -> None:
    """For every count of its table, digit by digit."""
    for ident in ("cedar-fig", "pine-bowl", "lemon-verbena-pot"):
        assert content(ident).table == sheet_of(desk(), ident).table


@pytest.mark.parametrize(
    ("ident", "said"),
    [
        ("cedar-fig", "Write the batch record today"),
        ("pine-bowl", "A test pour has no batch record."),
    ],
)
def test_it_says_what_to_do_with_it(ident: str, said: str) -> None:
    """A test pour is written into burn records."""
    assert content(ident).afterwards.startswith(said)


def test_lots_that_must_not_go_in_stand_on_it() -> None:
    """As on the pour sheet, in the words of the edition."""
    stops = sheet_of(desk(), "pine-bowl").work.stops
    assert stops
    assert content("pine-bowl").stops == stops
    floor = pages(Edition.FLOOR)["papers/pine-bowl/batch-sheet"].content
    assert floor.stops
    assert floor.stops != stops
