"""What stands in the way: the vessel first, no advice that helps nothing, and all that limits."""

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from handbook_builder.cli import main
from handbook_builder.derived.account import Account
from handbook_builder.derived.board import board_of
from handbook_builder.derived.lots_held_back import lots_held_back
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.in_the_way import in_the_way
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.verdicts.more_tests import more_tests
from handbook_builder.words import Words
from tests.pages.conftest import told
from tests.records_in_text import proven
from tests.told import rig

ROOT = Path(__file__).parents[2]
REFUSED = ("driftwood-cedar", "lavender-bubble")
ONLY = "is the only one on file, and incident 1 about it is open since 2026-04-10."


def why(*words: str, studio: Path = ROOT) -> str:
    """Return what `handbook why` says."""
    result = CliRunner().invoke(main, ["why", *words, "--studio", str(studio)])
    assert result.exit_code == 0, result.output
    return " ".join(result.stdout.split())


def one_lot() -> dict[str, str]:
    """Return a proven studio with a single lot of soy on file: the one under an incident.

    It was bought long after the candles were poured, so that it is none of theirs.
    """
    return {
        **proven(),
        "purchases/one.md": "---\nsupplier: jar-house\non: 2026-04-05\nlines:\n"
        "  - {item: waxes/soy, quantity: 10 kg, price: 84.00, lot: W-9}\n---\n",
        "incidents/one.md": "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nlot: W-9\n"
        "what: It smells sour.\n---\n",
    }


@pytest.mark.parametrize("ident", REFUSED)
def test_a_refused_vessel_comes_first_with_its_reasons(pages: dict[str, Page], ident: str) -> None:
    """On the page and in the terminal, before the candles that are missing."""
    page = pages[f"products/{ident}"].content
    assert " is refused. " in page.missing[0].text
    assert page.missing[0].mend.startswith("Choose another vessel.")
    vessel = pages[page.vessel.path].content
    assert vessel.reasons
    for reason in vessel.reasons:
        assert reason.text in page.missing[0].text
    told_there = why(ident)
    assert (
        " ".join(page.missing[0].text.split()) in told_there.partition(" - ")[2].partition(" - ")[0]
    )


def test_nobody_is_told_to_pour_what_no_candle_mends(pages: dict[str, Page]) -> None:
    """No advice to pour test candles for a refused vessel, a failure or a broken limit."""
    advised = set()
    for path, page in pages.items():
        if page.view != "product":
            continue
        text = " ".join(f"{one.text} {one.mend}" for one in page.content.missing)
        if "more must pass" in text or "Pour test candles" in text:
            advised.add(path.removeprefix("products/"))
    assert "pine-pot" in advised
    stuck = {"driftwood-cedar", "lavender-bubble", "strong-vanilla-tin", "cedar-fig-big-wick",
             "pine-bowl", "practice-pour"}  # fmt: skip
    assert not advised & stuck
    for ident in stuck:
        assert "Pour test candles" not in why(ident)
        assert "more must pass" not in why(ident)


def test_the_advice_is_given_exactly_where_a_candle_helps(
    account: Account, words: Words, pages: dict[str, Page]
) -> None:
    """Of all products that lack candles, those are advised that more candles could bring on."""
    needed = account.studio.protocol.test_candles
    for ident, product in account.judged.products.items():
        if "too_few_passed" in {one.code for one in product.missing}:
            helps = more_tests(product, needed).sense.value in ("more", "burning", "enough")
            text = " ".join(one.mend for one in pages[f"products/{ident}"].content.missing)
            assert ("Pour test candles" in text) == helps, ident
    assert words.phrases["pages"]["way"]


@pytest.mark.parametrize("ident", ["lavender-bubble", "driftwood-cedar"])
def test_no_wick_is_suggested_for_a_refused_vessel(pages: dict[str, Page], ident: str) -> None:
    """No wick mends a vessel that may not be lit."""
    assert pages[f"products/{ident}"].content.advice is None
    assert "What to try next" not in why(ident)
    result = CliRunner().invoke(main, ["why", ident, "--json", "--studio", str(ROOT)])
    assert json.loads(result.stdout)[ident]["next_wick"] is None


def test_a_label_claims_nothing_for_what_is_not_approved(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """Only the page of an approved product says what a label may claim."""
    for path, page in pages.items():
        if page.view == "product" and page.content.life is not None:
            claims = "A label may claim" in html[path]
            assert claims == page.content.is_approved, path
    assert "A label may claim" in html["products/cedar-fig"]
    assert pages["products/black-tea"].content.life is not None


def test_a_lot_under_an_incident_stands_beside_the_word(html: dict[str, str]) -> None:
    """On the head of the product, in the approved index, and on Today: do not use that lot."""
    stop = "Do not use lot CS-0452 of Coconut soy: incident 3 is open since 2026-03-30."
    head = html["products/sandalwood-bowl"].partition("</header>")[0]
    assert stop in head
    assert "nothing stands in the way" not in head
    assert "nothing stands in the way" in html["products/cedar-fig"].partition("</header>")[0]
    for path in ("approved/index", "index"):
        assert html[path].count(stop) == 2, path  # the bowl and the soapstone pot
    assert stop in why("sandalwood-bowl")
    assert "nothing stands in the way" not in why("sandalwood-bowl")


def test_without_another_lot_it_may_not_be_poured_today() -> None:
    """With one lot on file, and that under an incident, Today counts it out and says why."""
    found = rig.pages(one_lot())
    home = found["index"].content
    assert (home.may_pour, len(home.pour)) == (0, 1)
    told_there = rig.html(one_lot())
    for path in ("index", "approved/index"):
        assert told_there[path].count(ONLY) == 1, path
    assert ONLY in told_there["products/fig"].partition("</header>")[0]
    assert ONLY in told_there["pour/fig"]


def test_a_lot_of_the_former_make_is_no_other_lot(account: Account) -> None:
    """What was bought before the maker changed the wax is not the wax that was proven."""
    studio, recipe = account.studio, account.studio.recipes["sandalwood-bowl"]
    (held,) = lots_held_back(studio, recipe, account.judged.as_of)
    assert not held.is_only  # CS-0317 was bought on 2025-06-12
    waxes = dict(studio.waxes)
    changed = replace(waxes["coconut-soy"], spec=2, spec_since=(date(2025, 11, 1),))
    waxes["coconut-soy"] = changed
    (held,) = lots_held_back(replace(studio, waxes=waxes), recipe, account.judged.as_of)
    assert held.is_only


def test_the_head_of_a_page_tells_all_that_it_is_given(html: dict[str, str]) -> None:
    """Since when a product failed, and that a vessel is for practice only, stand in the head."""
    head = html["products/cedar-fig-big-wick"].partition("</header>")[0]
    assert "Failed on 2025-" in head
    assert "For practice only." in html["vessels/practice-tin"].partition("</header>")[0]


def test_today_says_what_the_board_says(
    account: Account, words: Words, pages: dict[str, Page], html: dict[str, str]
) -> None:
    """As many may be lit as the board lets be lit; with none, the next day stands there."""
    lit = pages["index"].content.lit
    assert (lit.count, lit.words) == (0, "may be lit today, next on 2026-05-02")
    assert lit.count == len(pages["board/index"].content.groups[0].rows)
    assert "test candles to burn" not in html["index"]
    tally = " ".join(re.sub("<[^>]+>", " ", html["index"]).split())
    assert "0 may be lit today, next on 2026-05-02" in tally
    waiting = board_of(account).waiting
    assert min(one.next_lit.day for one in waiting if not one.forbidden) == date(2026, 5, 2)
    assert Desk(account, words).day == date(2026, 5, 1)


@pytest.mark.parametrize(
    "day", [date(2025, 9, 11), date(2025, 10, 1), date(2026, 2, 20), date(2026, 5, 2)]
)
def test_today_and_the_board_agree_on_any_day(day: date) -> None:
    """Whatever day it is, the large count of Today is the length of the board's first list."""
    pages = told(ROOT / "records", day)
    assert pages["index"].content.lit.count == len(pages["board/index"].content.groups[0].rows)


def test_what_is_not_approved_has_no_provisos(account: Account, words: Words) -> None:
    """There is nothing to limit."""
    desk = Desk(account, words)
    for product in account.judged.products.values():
        if product.missing:
            assert provisos_of(desk, product).sentences == ()


def test_one_candle_that_lacks_a_reading_in_many_cycles_is_one_thing(words: Words) -> None:
    """Two candles without any after-smoke time are two, and each names its cycles."""
    files = proven()
    for letter in "ab":
        path = f"burns/fig-{letter}.md"
        files[path], times = re.subn(r", after_smoke: [^,}]+", "", files[path])
        assert times > 1
    account = rig.account(files)
    desk = Desk(account, words)
    product = account.judged.products["fig"]
    told = [one.said for one in in_the_way(desk, product) if one.code == "missing_candle"]
    lacking = [one for one in product.missing if one.code == "missing_candle"]
    assert (len(told), len(lacking)) == (2, 2 * times)
    cycles = ", ".join(str(at + 1) for at in range(times))
    assert f"Candle A (fig-a), cycle {cycles}: after_smoke is not there" in told[0].text
    assert told[0].where == str(lacking[0].place)
