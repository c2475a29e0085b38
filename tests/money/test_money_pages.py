"""What the pages say of money, and that the owner's edition alone says it."""

import shutil
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.workshop import account_in, words_for
from tests.money.floor import ROOT
from tests.pages.conftest import catalogue, shown
from tests.records_in_text import proven, write

DAY = date(2026, 5, 1)


def told(records: Path, edition: Edition = Edition.OWNER) -> dict[str, Page]:
    """Return the pages of an edition by their path."""
    account, problems = account_in(records, DAY)
    assert account is not None, problems
    words = words_for(account.studio, catalogue())
    return {page.path: page for page in pages_of(account, words, edition)}


@pytest.fixture(scope="module")
def owner() -> dict[str, Page]:
    """Return the owner's pages of the demo."""
    return told(ROOT / "records")


@pytest.fixture(scope="module")
def floor() -> dict[str, Page]:
    """Return the floor edition of the demo."""
    return told(ROOT / "records", Edition.FLOOR)


def plain(text: str | None) -> str:
    """Return a text with ordinary spaces."""
    assert text is not None
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_views_of_the_floor_are_given_nothing(floor: dict[str, Page]) -> None:
    """It is not hidden in templates: the view objects hold no money and no supplier."""
    products = [page.content for path, page in floor.items() if page.view == "product"]
    vessels = [page.content for path, page in floor.items() if page.view == "vessel"]
    assert len(products) > 20
    assert {one.cost for one in products} == {None}
    assert {one.supplier for one in vessels} == {None}
    assert {lot.supplier for one in vessels for lot in one.lots} == {None}
    assert floor["vessels/index"].content.keep is None
    assert not [path for path in floor if path.startswith("money/")]


STOPS = [
    "Do not use lot CS-0452 of Coconut soy: incident 3 is open since 2026-03-30.",
    (
        "Use no Coconut soy that came in the delivery of 2025-11-20: incident 3 is open since "
        "2026-03-30. Which boxes those are, the owner can say; until then, leave every box of that "
        "day alone."
    ),
]


def test_editions_agree_on_everything_else(owner: dict[str, Page], floor: dict[str, Page]) -> None:
    """A helper reads the same verdicts and the same list of what may be poured.

    A lot alone is called otherwise there: by the day that it was delivered, and the whole delivery
    is to be left alone.
    """
    for path in ("index", "approved/index", "not-approved/index", "reference/limits"):
        here, there = (repr(one[path].content) for one in (owner, floor))
        for said in STOPS:
            here, there = here.replace(said, "(a lot)"), there.replace(said, "(a lot)")
        told = here.replace("CS-0452", "2025-11-20").replace("cs-0452", "2025-11-20")
        assert there == told
    for path, page in floor.items():
        if page.view in ("product", "vessel", "test"):
            assert page.content.word == owner[path].content.word


def test_which_vessel_earns_its_keep(owner: dict[str, Page]) -> None:
    """Proven vessels first, by what an hour leaves; the cheap tin first, the dear bowl last.

    The tin: 3.7944 over 19.34 h is 0.20 an hour; the bowl: 15.22 over 21.79 h is 0.70.
    """
    keep = owner["vessels/index"].content.keep
    ranked = [row.link.title for row in keep.rows]
    assert ranked[:5] == [
        "Small tin", "Amber tumbler", "Stoneware cup", "Soapstone pot", "Concrete bowl",
    ]  # fmt: skip
    assert "Practice tin" not in ranked
    assert [row.standing for row in keep.rows[:6]] == ["proven"] * 5 + ["not proven"]
    assert plain(keep.answer) == (
        "Of the vessels with a proven candle, a burning hour costs least in the Small tin "
        "(0.20 EUR) and most in the Concrete bowl (0.70 EUR)."
    )


def test_a_row_of_the_comparison(owner: dict[str, Page]) -> None:
    """The tumbler: 2.22 landed, a quarter of it freight, 3 % broken, two make-ups proven.

    Cedar and fig took 91.77 h, first winter 94.03 h, orange and clove 94.88 h: 93.56 h.
    """
    rows = {row.link.title: row for row in owner["vessels/index"].content.keep.rows}
    tumbler = rows["Amber tumbler"]
    assert (plain(tumbler.landed), plain(tumbler.freight)) == ("2.22 EUR", "25 %")
    assert (plain(tumbler.breakage), tumbler.proven) == ("3 %", 2)
    assert plain(tumbler.offer.margin) == "75 %"
    assert rows["Small tin"].breakage is None  # the record says that none breaks
    assert (tumbler.proving.candles, plain(tumbler.proving.hours)) == (3, "93 h 34 min")


def test_price_history_has_its_dates(owner: dict[str, Page]) -> None:
    """Soy blend: 20 kg in June, 44 lb in November, and by how much a kilogram went up.

    June: 118.00 + 19.60 by mass, 20 of 35 kg = 11.20: 129.20 / 20 = 6.46 a kg.
    November: 124.00 + 13.99 = 137.99 / 19.95806428 = 6.9140 a kg, which is 7 % more.
    """
    kinds = dict(owner["money/prices"].content.kinds)
    (soy,) = [one for one in kinds["Waxes"] if one.link.path == "waxes/soy-blend"]
    assert [one.on.isoformat() for one in soy.rows] == ["2025-11-20", "2025-06-12"]
    newest, first = soy.rows
    assert plain(first.unit) == "6.46 EUR a kg (2.93 EUR a lb)"
    assert plain(newest.unit) == "6.91 EUR a kg (3.14 EUR a lb)"
    assert (first.change, plain(newest.change)) == (None, "+7 %")
    assert plain(first.freight) == "11.20 EUR"


def test_every_item_with_a_price_has_its_history(owner: dict[str, Page]) -> None:
    """No purchase is left out, and what was never bought is named."""
    content = owner["money/prices"].content
    bought = [one.link.path for _, items in content.kinds for one in items]
    records = ROOT / "records"
    every = {
        f"{folder}/{path.stem}"
        for folder in ("vessels", "waxes", "wicks", "fragrances", "colorants", "packaging")
        for path in (records / folder).glob("*.md")
    }
    assert {*bought, *(one.path for one in content.never)} == every
    assert len(bought) == len(set(bought))


def test_all_products_have_their_costs(owner: dict[str, Page]) -> None:
    """The room of the money lists every product once, the approved ones apart."""
    content = owner["money/index"].content
    approved = {row.link.path for row in owner["approved/index"].content.rows}
    assert {row.link.path for row in content.approved} == approved
    assert len(content.approved) + len(content.others) == len(
        list((ROOT / "records/recipes").glob("*.md"))
    )
    assert "markup" not in " ".join(shown(owner).values()).lower()


def test_without_prices_nothing_is_made_up(tmp_path: Path) -> None:
    """A studio that never bought anything has pages of money that say so, and no figure."""
    pages = told(write(tmp_path, proven()))
    content = pages["money/index"].content
    assert [row.cost for row in content.approved] == [None]
    assert [one.path for one in content.approved[0].unpriced] == [
        "waxes/soy", "fragrances/fig-oil", "vessels/tumbler", "wicks/cotton-8",
    ]  # fmt: skip
    keep = pages["vessels/index"].content.keep
    assert "none can be said to earn its keep" in keep.answer
    assert "No purchase is on file." in shown(pages)["money/prices"]


def test_a_mean_of_twelve_months_prices_otherwise(tmp_path: Path) -> None:
    """The tumbler by `costing: mean`: both bills count, by their numbers.

    159.91 / 72 in 2026, and in June 2025 by value of 186.48: freight 61.30 x 104.40 / 186.48 =
    34.32, duty 14.92 x 104.40 / 186.48 = 8.35: 147.07 / 72. Mean: 306.98 / 144 = 2.1318.
    """
    records = tmp_path / "records"
    shutil.copytree(ROOT / "records", records)
    studio = records / "studio.md"
    studio.write_text(studio.read_text("utf-8").replace("costing: newest", "costing: mean"))
    cost = told(records)["products/cedar-fig"].content.cost
    lines = {name: plain(value) for name, value in cost.lines}
    assert lines["Vessel"] == "2.13 EUR"  # in coins
    assert "mean" in cost.costing
