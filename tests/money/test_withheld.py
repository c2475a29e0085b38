"""What the floor edition takes out of words, and what it must leave as it is."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import pytest

from handbook_builder.derived.account import account_of
from handbook_builder.derived.floor import floor_account
from handbook_builder.pages.desk import Link
from handbook_builder.pages.page import Page
from handbook_builder.pages.private.amounts import Care
from handbook_builder.pages.private.withheld import clean_page, cleaner, secrets_of, withheld
from handbook_builder.studio.studio import Studio
from handbook_builder.words import Words
from handbook_builder.workshop import words_text_for
from tests.money.floor import ROOT
from tests.records_in_text import BASE, DAY, linked, proven

BILL = (
    "---\nsupplier: jar-house\non: 2026-02-01\n"
    "lines: [{item: waxes/soy, quantity: 10 kg, price: 62.40, lot: W-1}]\nfreight: 9.50\n---\n"
    "A bill from Jar House.\n"
)
BATCH = (
    "---\nrecipe: fig\non: 2026-04-20\nmade: 9\nby: ilse\nlots: {waxes/soy: W-1}\ngiven:\n"
    '  - {on: 2026-04-25, to: "Saturday market", count: 2, how: sold}\n'
    "  - {on: 2026-04-26, to: market, count: 1, how: sold}\n"
    "  - {on: 2026-04-26, to: glass, count: 1, how: gift}\n"
    "  - {on: 2026-04-26, to: ilse, count: 1, how: gift}\n---\n"
)
TOLD = "Wax at 62.40 a slab, 62,40 in all; 62.40 g of it. For the Saturday market, and for glass."


def studio_with(told: str = TOLD, currency: str = "EUR") -> Studio:
    """Return a studio that sold candles and wrote of it; its recipe tells `told`."""
    return linked(
        {
            **proven(),
            "studio.md": BASE["studio.md"].replace("EUR", currency),
            "recipes/fig.md": BASE["recipes/fig.md"] + told + "\n",
            "purchases/jar-house-bill.md": BILL,
            "batches/one.md": BATCH,
            "helpers/ilse.md": "---\nmay: [burn]\n---\n",
        }
    )


def words(currency: str = "EUR") -> Words:
    """Return the shipped catalogue."""
    return Words.load(words_text_for(ROOT), "metric", currency)


@pytest.fixture(scope="module")
def clean() -> Callable[[str], str]:
    """Return what takes the secrets out of a text of that studio's handbook."""
    return cleaner(withheld(studio_with(), words()))


def test_a_record_loses_names_and_its_sums(clean: Callable[[str], str]) -> None:
    """In what a person wrote every name goes, and a sum on file; a measured number stays."""
    assert clean(TOLD) == (
        "Wax at an amount a slab, an amount in all; 62.40 g of it. "
        "For someone outside the studio, and for someone outside the studio."
    )


def test_a_record_told_within_a_sentence(clean: Callable[[str], str]) -> None:
    """A sentence of the handbook that repeats a record repeats it without them."""
    assert "62.40 a slab" not in clean(f"Incident 1 is open: {TOLD}")


@pytest.mark.parametrize(
    "written",
    ["jar-house", "Jar house", "JAR HOUSE", "jar_house", "the Jar House", "jar\u00a0house"],
)
def test_a_supplier_however_it_is_written(clean: Callable[[str], str], written: str) -> None:
    """An id, a name, capitals, an article: all the same."""
    assert clean(f"Sold for candles by {written}.") == "Sold for candles by a supplier."
    assert clean("jar-house") == "a supplier"


def test_a_measured_figure_is_never_touched(clean: Callable[[str], str]) -> None:
    """A number of the handbook's own sentences stays, though it is the sum of a bill as well."""
    told = "One more candle would burn between 62.40 and 9.50 g/h (95 % prediction)."
    assert clean(told) == told
    assert clean("62.40") == "62.40"


def test_an_ordinary_word_is_no_name(clean: Callable[[str], str]) -> None:
    """A recipient called `glass` must not take the word out of a caution."""
    caution = "Glass can crack without warning when one side is much hotter than the other."
    assert clean(caution) == caution
    assert clean("glass") == "someone outside the studio"


def test_a_helper_is_no_secret(clean: Callable[[str], str]) -> None:
    """Who pours a batch may also take a candle home, and is named as before."""
    assert clean("ilse") == "ilse"


@pytest.mark.parametrize(
    ("currency", "told"),
    [
        ("EUR", "3.20 EUR"), ("EUR", "€3.20"), ("EUR", "€ 3,20"), ("EUR", "3 euros"),
        ("EUR", "1 Euro"), ("USD", "$12"), ("USD", "12 dollars"), ("GBP", "£4"), ("JPY", "300 yen"),
    ],
)  # fmt: skip
def test_a_sum_with_its_currency(currency: str, told: str) -> None:
    """Whatever the amount, its currency makes it money."""
    found = cleaner(withheld(studio_with(currency=currency), words(currency)))
    assert found(f"It cost {told} last year.") == "It cost an amount last year."


@pytest.mark.parametrize(("currency", "told"), [("GBP", "2 pounds of wax"), ("TOP", "3 top notes")])
def test_what_only_looks_like_money(currency: str, told: str) -> None:
    """A pound of wax is a weight, and a word in small letters no currency's code."""
    assert cleaner(withheld(studio_with(currency=currency), words(currency)))(told) == told


def test_guides_keep_their_ordinary_words() -> None:
    """A guide loses names and sums, and keeps its ordinary words, whoever is called so.

    The examples of a shipped guide are everybody's: it keeps its sums.
    """
    secrets = secrets_of(withheld(studio_with(), words()))
    told = "Ask Jar House. Glass may crack at the market for 62.40."
    assert secrets.clean(told, Care.HAND) == (
        "Ask a supplier. Glass may crack at the market for an amount."
    )
    assert secrets.clean(told, Care.NONE) == (
        "Ask a supplier. Glass may crack at the market for 62.40."
    )


@dataclass(frozen=True)
class View:
    """A view with a bit of everything."""

    link: Link
    rows: tuple[tuple[str, int], ...]
    facts: dict[str, str]
    on: date | None


def test_a_page_keeps_its_addresses(clean: Callable[[str], str]) -> None:
    """What is read is cleaned at any depth; where a link leads stays, or it would be dead."""
    view = View(Link("Jar house", "x/jar-house"), (("jar-house", 3),), {"a": "Jar House"}, DAY)
    page = clean_page(Page("x/jar-house", "Jar house", "view", view, 1.5, ("jar-house",)), clean)
    assert (page.path, page.title, page.words) == ("x/jar-house", "a supplier", ("a supplier",))
    assert page.content == View(
        Link("a supplier", "x/jar-house"), (("a supplier", 3),), {"a": "a supplier"}, DAY
    )


def test_a_page_without_secrets_stays_itself(clean: Callable[[str], str]) -> None:
    """Nothing is copied without need: the two editions share what they tell alike."""
    page = Page("x", "Fig", "view", View(Link("Fig", "x"), (("a", 1),), {}, None))
    assert clean_page(page, clean).content == page.content
    assert clean_page(page, clean).title is page.title


def test_the_bench_gets_no_money_and_the_same_verdicts() -> None:
    """Its account has no prices, bills, labour or recipients, and judges as the owner's does."""
    account = account_of(studio_with(), DAY)
    bench = floor_account(account, "nobody")
    assert bench.money is None
    assert bench.judged.products == account.judged.products
    studio = bench.studio
    assert (studio.info.labour, studio.info.retail_multiple) == (None, None)
    assert studio.suppliers == {}
    (bill,) = studio.purchases.values()
    assert (bill.supplier, bill.freight, bill.duty, bill.source.body) == ("nobody", None, None, "")
    assert [(line.price, line.lot) for line in bill.lines] == [(0, "W-1")]
    assert {one.to for one in studio.batches["one"].given} == {"nobody"}
    assert set(studio.purchases) == {"delivery-1"}


def test_what_a_card_costs_is_a_sum_on_file() -> None:
    """The fee of a channel, and what a vessel was quoted at, wherever somebody wrote them down."""
    channels = "channels:\n  stall: {multiple: 3, fee_each: 0.35}\nprotocol:"
    told = "A card takes 0.35 of each, and the jar was 2.45 when I asked."
    quote = "quote: {on: 2026-03-01, price: 2.45, minimum: 48}\nopening:"
    studio = linked(
        {
            **proven(),
            "studio.md": BASE["studio.md"].replace("protocol:", channels),
            "vessels/tumbler.md": BASE["vessels/tumbler.md"].replace("opening:", quote),
            "recipes/fig.md": BASE["recipes/fig.md"] + told + "\n",
        }
    )
    clean = cleaner(withheld(studio, words()))
    assert clean(told) == "A card takes an amount of each, and the jar was an amount when I asked."
