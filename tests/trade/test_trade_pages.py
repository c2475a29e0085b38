"""What the pages of batches, lots and incidents say, in both editions."""

from datetime import date
from pathlib import Path

import pytest
import yaml

from handbook_builder.derived.account import account_of
from handbook_builder.figures.net import Outcome
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.verdicts.batches import BatchState
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for
from tests.pages.conftest import DAY, RECORDS, catalogue, shown
from tests.records_in_text import STUDIO, linked, proven

DEMO_BATCH = "batches/lemon-verbena-pot-2026-03-14"
LOT = "lots/waxes-coconut-soy--cs-0452"
BATCH = (
    "---\nrecipe: fig\non: {on}\nmade: 4\nby: the maker\nlots: {{{lots}}}\n"
    "given:\n  - {{on: {on}, to: the market, count: 3, how: sold}}\n---\n"
)
BILL = (
    "---\nsupplier: jar-house\non: 2026-01-10\nlines:\n"
    "  - {item: waxes/soy, quantity: 10 kg, price: 60.00, lot: W-1}\n---\n"
)
INCIDENT = "---\nnumber: 1\non: 2026-04-10\nabout: {about}\nwhat: It is sour.\n{more}---\n"


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def demo(edition: Edition = Edition.OWNER, day: date = DAY) -> dict[str, Page]:
    """Return the pages of the demo by their path."""
    account, problems = account_in(RECORDS, day)
    assert account is not None, problems
    words = words_for(account.studio, catalogue())
    return {page.path: page for page in pages_of(account, words, edition)}


def small(**more: str) -> dict[str, Page]:
    """Return the pages of a small studio with two batches, told on the day."""
    files = {
        **proven(),
        "purchases/one.md": BILL,
        "batches/april.md": BATCH.format(on="2026-04-05", lots="waxes/soy: W-1"),
        "batches/may.md": BATCH.format(on="2026-04-06", lots=""),
        **more,
    }
    account = account_of(linked(files), DAY)
    return {page.path: page for page in pages_of(account, Words.load(catalogue()))}


@pytest.fixture(scope="module")
def owner() -> dict[str, Page]:
    """Return the owner's pages of the demo."""
    return demo()


@pytest.fixture(scope="module")
def floor() -> dict[str, Page]:
    """Return the floor's pages of the demo."""
    return demo(Edition.FLOOR)


def test_the_suspended_lot_is_shown_wherever_it_stands(owner: dict[str, Page]) -> None:
    """On its own page, its batch, its wax, the index, the first page and the incident's page."""
    html = shown(owner)
    for path in (LOT, DEMO_BATCH, "waxes/coconut-soy", "batches/index"):
        assert "<span>Suspended</span></strong>" in html[path], path
    for path in ("index", "batches/index", LOT):
        assert "incident-3.html" in html[path], path
        assert "2026-03-30" in html[path], path
    text = plain(owner[DEMO_BATCH].content.reasons[0].text)
    assert text == (
        "Incident 3 of 2026-03-30 is open, about lot CS-0452 of waxes/coconut-soy: "
        "The last slab of this lot smells sour and looks cloudy when melted."
    )
    assert owner[DEMO_BATCH].content.reasons[0].path == "incidents/incident-3"


def test_other_lots_of_the_item_are_not_suspended(owner: dict[str, Page]) -> None:
    """The former lot of the same wax, and the product, stand as before."""
    assert owner["lots/waxes-coconut-soy--cs-0317"].content.word is None
    lots = {one.lot: one.word for one in owner["waxes/coconut-soy"].content.lots}
    assert lots["CS-0317"] is None
    assert lots["CS-0452"].word == "Suspended"
    assert owner["products/lemon-verbena-pot"].content.is_approved


def test_the_recall_sheet_of_the_demo(owner: dict[str, Page]) -> None:
    """Who has how many, from which batches, and how many are left in the studio."""
    page = owner["incidents/incident-3"].content
    (reached,) = page.reached
    assert page.is_open
    assert (reached.made, reached.out, reached.left) == (9, 3, 6)
    assert [(one.on, one.count, one.how, one.to) for one in reached.handed] == [
        (date(2026, 3, 28), 3, "sold", "spring fair")
    ]
    assert reached.handed[0].batch.path == DEMO_BATCH
    (tins,) = owner["incidents/incident-4"].content.reached
    assert (tins.made, tins.out, tins.left) == (20, 17, 3)
    assert [one.to for one in tins.handed] == ["Saturday market", "spring fair"]
    html = shown(owner)["incidents/incident-4"]
    assert "Open incident: recall sheet" in html
    assert "spring fair" in html


def test_a_closed_incident_says_how_it_ended(owner: dict[str, Page]) -> None:
    """With its day and finding; before that day it was open."""
    page = owner["incidents/incident-1"].content
    assert not page.is_open
    assert page.state.startswith("Closed on 2025-11-04: The print shop")
    assert page.line.closed == date(2025, 11, 4)
    before = demo(day=date(2025, 11, 3))["incidents/incident-1"].content
    assert before.is_open
    assert "While this incident is open" in before.state
    assert before.line.closed is None
    assert "incidents/incident-2" not in demo(day=date(2025, 11, 3))


def test_the_three_ways_of_being_touched() -> None:
    """Named, as the same candle as a sister batch, or by a lot that is not written down."""
    by_lot = {"incidents/one.md": INCIDENT.format(about="waxes/soy", more="lot: W-1\n")}
    reached = small(**by_lot)["incidents/one"].content.reached
    assert [[one.link.path for one in group.batches] for group in reached] == [
        ["batches/april"], ["batches/may"],
    ]  # fmt: skip
    assert "may be this one" in reached[1].why
    assert (reached[1].out, reached[1].left) == (3, 1)
    sister = {"incidents/one.md": INCIDENT.format(about="batches/april", more="")}
    reached = small(**sister)["incidents/one"].content.reached
    assert [[one.link.path for one in group.batches] for group in reached] == [
        ["batches/april"], ["batches/may"],
    ]  # fmt: skip
    assert "the same candle" in reached[1].why


def test_an_incident_that_touches_nothing() -> None:
    """No batch was poured: the sheet says so; and one that is all in the studio says that."""
    lonely = {
        "wicks/cotton-10.md": proven()["wicks/cotton-8.md"],
        "incidents/one.md": INCIDENT.format(about="wicks/cotton-10", more=""),
    }
    html = shown(small(**lonely))["incidents/one"]
    assert "No batch that was poured by this day is touched." in html
    here = BATCH.format(on="2026-04-05", lots="").partition("given")[0] + "---\n"
    about = {"incidents/one.md": INCIDENT.format(about="batches/april", more="")}
    html = shown(small(**about, **{"batches/april.md": here}))["incidents/one"]
    assert "None of them has left the studio." in html


def test_the_floor_names_no_recipient(owner: dict[str, Page], floor: dict[str, Page]) -> None:
    """Days, counts and what is left stand in both; who has them only in the owner's."""
    account, _ = account_in(RECORDS, DAY)
    assert account is not None
    names = {one.to for batch in account.studio.batches.values() for one in batch.given}
    rooms = ("batches/", "lots/", "incidents/", "index")
    told = {path: text for path, text in shown(owner).items() if path.startswith(rooms)}
    bench = {path: text for path, text in shown(floor).items() if path.startswith(rooms)}
    lots = [[path for path in one if path.startswith("lots/")] for one in (told, bench)]
    assert told.keys() - {*lots[0]} == bench.keys() - {*lots[1]}
    assert len(lots[0]) == len(lots[1])  # under neutral names at the bench
    assert all(any(name in text for text in told.values()) for name in names)
    assert not [(path, name) for path, text in bench.items() for name in names if name in text]
    (reached,) = floor["incidents/incident-3"].content.reached
    assert (reached.out, reached.left, reached.handed[0].to) == (3, 6, None)
    assert "Who has them stands in the owner" in bench["incidents/incident-3"]
    assert floor["lots/waxes-soy-blend--2025-11-20"].content.deliveries
    assert all(
        one.supplier is None
        for path in lots[1]
        if path != "lots/index"
        for one in floor[path].content.deliveries
    )
    assert owner[LOT].content.deliveries[0].bill == "2025-11-20-waxes"


def test_a_batch_says_what_was_weighed(owner: dict[str, Page]) -> None:
    """Load and fill as weighed beside what is due, and since when its lots are here."""
    page = owner["batches/lavender-pine-2026-04-25"].content
    assert page.word.word == "Not as proven"
    # (38.1 + 19.1) / 635.5 = 9.0008 %, where 8 % is due (by hand).
    assert plain(page.load) == "9 %"
    assert plain(page.reasons[0].text) == (
        "lavender-field-oil came to 5.5 % of the finished candle; "
        "the recipe says 4.63 %, give or take 0.2 %."
    )
    assert page.reasons[0].where == "records/batches/lavender-pine-2026-04-25.md:15"
    assert {one.lot.title: one.delivered for one in page.lots}["W-2307"] == (date(2025, 11, 20),)
    assert (page.made, page.out, page.left) == (4, 0, 4)


def test_the_net_weight_of_a_batch(owner: dict[str, Page]) -> None:
    """Each market says what it asks and what was found; the American table says how sure it is."""
    page = owner["batches/unscented-tin-2026-04-25"].content
    assert page.declared == "93 g, 3.2 oz"
    us, eu, gb = page.checks
    assert [one.market for one in page.checks] == [
        "United States", "European Union", "Great Britain",
    ]  # fmt: skip
    facts = {label: plain(value) for label, value in eu.facts}
    assert facts["Weighed"] == "32 of 32; the rule asks for 32"
    assert facts["Mean net mass"].endswith("at least 93.0 g (3.28 oz) is asked for: passed")
    assert facts["Short candles"] == "0 below 88.5 g (3.12 oz): passed"
    assert facts["Far too short"] == "0 below 84.0 g (2.96 oz), where none may be"
    assert "from memory, unconfirmed: check them against a copy" in us.source
    assert "76/211/EEC" in eu.source
    assert "SI 2006/659" in gb.source
    assert (us.word.word, us.outside) == ("Passed", "")
    html = shown(owner)["batches/unscented-tin-2026-04-25"]
    assert "not a verification by an authority" in html


def test_a_batch_without_weighings(owner: dict[str, Page]) -> None:
    """It says that nothing was weighed, and gives no figure of it."""
    page = owner["batches/cedar-fig-gift-2026-04-18"].content
    assert (page.load, page.fill, page.word.word) == (None, None, "Not weighed")
    html = shown(owner)
    assert "No mass that went in is on file." in html["batches/cedar-fig-gift-2026-04-18"]
    assert "No filled candle was weighed" in html["batches/unscented-tin-2026-04-11"]


def test_too_few_and_out_of_reach() -> None:
    """A sample that is too small says so; below 5 g the European rule has nothing to say."""
    more = "net: [108.0 g]\n---\n"
    batch = BATCH.format(on="2026-04-05", lots="").rpartition("---\n")[0] + more
    (check,) = small(**{"batches/april.md": batch})["batches/april"].content.checks
    assert check.word.word == "Too few weighed"
    assert plain(dict(check.facts)["Mean net mass"]) == "108.0 g: too few weighed"
    tiny = {
        "batches/april.md": batch.replace("108.0 g", "4.0 g"),
        "recipes/fig.md": proven()["recipes/fig.md"].replace("108 g", "4 g"),
    }
    pages = small(**tiny)
    (check,) = pages["batches/april"].content.checks
    assert (check.word, check.facts) == (None, ())
    assert check.outside in shown(pages)["batches/april"]


def test_the_index_puts_what_is_open_first(owner: dict[str, Page]) -> None:
    """Open incidents, then every batch and lot known on the day, the newest batch first."""
    page = owner["batches/index"].content
    assert [one.link.title for one in page.open] == ["Incident 4", "Incident 3"]
    assert [one.link.title for one in page.closed] == ["Incident 2", "Incident 1"]
    poured = [one.poured for one in page.batches]
    assert poured == sorted(poured, reverse=True)
    early = demo(day=date(2025, 10, 10))
    assert [one.link.path for one in early["batches/index"].content.batches] == [
        "batches/first-winter-2025-10-04"
    ]
    assert "batches/cedar-fig-2025-10-25" not in early


def test_a_product_lists_its_batches(owner: dict[str, Page]) -> None:
    """Each with how it stands, the newest first."""
    batches = owner["products/lavender-pine"].content.batches
    assert [(one.poured, one.word.word) for one in batches] == [
        (date(2026, 4, 25), "Not as proven"),
        (date(2026, 3, 7), "As proven"),
        (date(2025, 11, 22), "As proven"),
    ]


def test_a_studio_without_batches() -> None:
    """The page is there, and says that nothing is on file."""
    account = account_of(linked({"studio.md": STUDIO}), DAY)
    pages = {page.path: page for page in pages_of(account, Words.load(catalogue()))}
    html = shown(pages)["batches/index"]
    assert "No batch is on file." in html
    assert "No lot is on file." in html


def test_the_search_finds_lots_and_batches(owner: dict[str, Page]) -> None:
    """By the lot as the supplier wrote it, and by the id of the batch; approved products first."""
    assert "CS-0452" in owner[LOT].words
    assert "CS-0452" in owner[DEMO_BATCH].words
    assert "lemon-verbena-pot-2026-03-14" in owner[DEMO_BATCH].words
    assert owner[DEMO_BATCH].boost < owner["products/lemon-verbena-pot"].boost


def test_the_owners_search_finds_who_has_a_batch(
    owner: dict[str, Page], floor: dict[str, Page]
) -> None:
    """A buyer rings: their name leads to the batch, whose table of names the search leaves out."""
    account, _ = account_in(RECORDS, DAY)
    assert account is not None
    for ident, batch in account.studio.batches.items():
        buyers = {one.to for one in batch.given if one.on <= DAY}
        assert buyers <= set(owner[f"batches/{ident}"].words), ident
    names = {one.to for batch in account.studio.batches.values() for one in batch.given}
    assert len(names) > 3
    assert [path for path, page in floor.items() if names & set(page.words)] == []


def test_every_state_and_outcome_has_its_word() -> None:
    """The catalogue is complete, and no word of a batch could be taken for the approved mark."""
    phrases = yaml.safe_load(catalogue())
    assert set(phrases["batches"]) == set(BatchState)
    assert set(phrases["lot_checks"]) == set(Outcome)
    words = (*phrases["batches"].values(), *phrases["lot_checks"].values())
    assert {one["tone"] for one in words} <= {"bad", "warn", "wait", "pass", "none"}
    assert all(one["meaning"].endswith(".") for one in words)


def test_the_way_to_the_batches_is_on_every_page() -> None:
    """The list of rooms names them."""
    header = Path(RECORDS.parent, "site_templates/theme/partials/header.html").read_text("utf-8")
    assert (
        '"href": "batches/index.html", "folders": ["batches", "lots", "incidents", "buyers"]'
        in header
    )
