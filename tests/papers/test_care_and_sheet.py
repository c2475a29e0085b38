"""The care card and the product sheet: what they say of the demo, and of what they are refused."""

import re
from dataclasses import replace

import pytest

from handbook_builder.derived.to_stop import ToStop
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.papers.care import lines_of
from handbook_builder.pages.papers.sheet import page_of_sheet
from handbook_builder.verdicts.approval import Status
from handbook_builder.words import Words
from handbook_builder.workshop import words_for
from tests.pages.conftest import catalogue, shown
from tests.papers.rig import APPROVED, account, alone, pages, papers, words_in
from tests.papers.test_as_burned import without
from tests.records_in_text import burn, proven
from tests.told import rig

MEASURED, PRACTICE = "(tested)", "(common practice, not measured)"
NOT_A_CERTIFICATE = "These are the studio's own tests. They are not a certification"


def card(ident: str) -> str:
    """Return the words of a care card of the demo."""
    return words_in(papers()[f"papers/{ident}/care"])


def sheet(ident: str) -> str:
    """Return the words of a product sheet of the demo."""
    return words_in(papers()[f"papers/{ident}/sheet"])


def small_card(files: dict[str, str]) -> str:
    """Return the words of the care card of a small studio."""
    return words_in(rig.html(files)["papers/fig/care"])


@pytest.mark.parametrize("status", Status)
def test_only_an_approved_product_has_them(status: Status) -> None:
    """Every status is in the demo; none but one has a card, a sheet, or a link to either."""
    of_status = {ident for ident, one in account().judged.products.items() if one.status is status}
    assert of_status
    for ident in of_status:
        titles = [link.title for link in pages()[f"products/{ident}"].content.papers.links]
        for kind, title in (("care", "Care card"), ("sheet", "Product sheet")):
            is_there = f"papers/{ident}/{kind}" in alone()
            assert is_there == (status is Status.APPROVED), (ident, kind)
            assert (title in titles) == is_there, (ident, kind)


def test_the_approved_ones_by_name() -> None:
    """In both editions: neither paper holds a price or a name."""
    for edition in Edition:
        for kind in ("care", "sheet"):
            found = {path.split("/")[1] for path in alone(edition) if path.endswith(f"/{kind}")}
            assert found == APPROVED, (edition, kind)


@pytest.mark.parametrize("ident", sorted(APPROVED))
def test_both_say_whose_tests_these_are(ident: str) -> None:
    """And neither calls them a certification."""
    for text in (card(ident), sheet(ident)):
        assert NOT_A_CERTIFICATE in text
        assert "certified" not in text.lower()


# By hand from the records; the pot's first burns are worked out in test_as_burned.
@pytest.mark.parametrize(
    ("ident", "said"),
    [
        ("cedar-fig", "Trim the wick to 6 mm (0.24 in) each time. So it was tested. (tested)"),
        ("cedar-fig", "The flame then stood 24 mm (0.94 in) high at the most. (tested)"),
        (
            "cedar-fig",
            (
                "In 3 of 3 test candles the melted wax did not meet the wall within a first burn "
                "of 3 h 52 min to 4 h 5 min. (tested) By burn 2 it had met the wall in all of them."
            ),
        ),
        (
            "lemon-verbena-pot",
            "In 3 of 3 test candles that took 3 h 26 min to 3 h 34 min. (tested)",
        ),
        ("lavender-pine", "In 1 of 3 test candles it did, after 3 h 56 min. (tested)"),
        ("cedar-fig", "Burn it for 4 h at the most, then let it cool for 1 h 30 min or longer."),
        ("cedar-fig", "The longest burn of all was 4 h 5 min. (tested)"),
        ("cedar-fig", "when 12 mm (0.47 in) of wax is left, and do not light it again. (advice"),
        ("cedar-fig", "every test candle burned for 20 h or longer. (tested)"),
        ("cedar-fig", "Its wall was read at up to 64 °C (147 °F)"),
        ("cedar-fig", f"one side of the vessel. {PRACTICE}"),
        ("cedar-fig", f"Do not move it while it burns. {PRACTICE}"),
        ("cedar-fig", "Card of 148 \N{MULTIPLICATION SIGN} 210 mm (A5)"),
        ("cedar-fig", "From 3 test candles of exactly this make-up"),
    ],
)
def test_the_card_says(ident: str, said: str) -> None:
    """Each number from this candle's own burns, and what nobody measured marked as such."""
    assert said in card(ident)


def test_the_card_claims_what_the_label_may() -> None:
    """Never more than the figures allow."""
    for ident in APPROVED:
        hours = account().products[ident].to_stop.claim_h
        assert f"burned for {hours} h or longer" in card(ident)


def test_the_trades_advice_stands_where_nobody_looked() -> None:
    """72 mm are 2.83 inches: 2 h 50 min by the rule of thumb, and marked as no measurement."""
    text = small_card(without(key="pool", reading="pool: 70 mm", cycle="2026-03-16"))
    assert f"about 2 h 50 min: one hour for each inch of width. {PRACTICE}" in text


def test_one_time_is_said_once() -> None:
    """Three candles that met the wall at the same minute, and burned equally long."""
    text = small_card(proven())
    assert "In 3 of 3 test candles that took 4 h. (tested)" in text
    assert "The longest burn of all" not in text


def test_a_burn_in_a_draught_is_told() -> None:
    """What was tried on purpose stands beside the trade's advice."""
    files = proven()
    for one in "abc":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), candles=4)
    files["burns/fig-d.md"] = burn("D", candles=4, more="as: misuse\nhow: draught\n")
    assert "Burned in a draught on purpose: Nothing was seen" in small_card(files)


def test_no_claim_says_why() -> None:
    """A candle that passed and whose weighings do not show the stop mark."""
    found = account()
    product = found.judged.products["cedar-fig"]
    figures = {**found.products}
    nothing_seen = ToStop({}, None, is_approved=True)
    figures["cedar-fig"] = replace(figures["cedar-fig"], to_stop=nothing_seen)
    desk = Desk(replace(found, products=figures), words_for(found.studio, catalogue()))
    (stop,) = [line for line in lines_of(desk, product) if line.title == "When to stop"]
    assert "No burning time is claimed: the weighings" in stop.sentences[1].text


# By hand: 182.7 g, rounded down to the gram; / 28.349523125 = 6.44 oz, rounded down to a tenth.
@pytest.mark.parametrize(
    ("ident", "said"),
    [
        ("cedar-fig", "Net weight 182 g, 6.4 oz"),
        ("cedar-fig", "Burning time 20 h"),
        ("cedar-fig", "Wax Soy blend 169.2 g (5.97 oz) 92.59 %"),  # 182.7 / 1.08
        ("cedar-fig", "Fragrance Cedar fig oil 13.5 g (0.48 oz) 7.41 %"),
        # Worked out by hand in tests/hazards: the sheet says no other than the label.
        ("cedar-fig", "Signal word: Warning. Pictograms: GHS07. H317: May cause an allergic"),
        ("cedar-fig", "Contains: acetyl cedrene, coumarin, linalool."),
        ("cedar-fig", "For the United States no hazard classes are reckoned"),
        ("cedar-fig", "A working aid, and no legal advice: check it against the law in force"),
        ("unscented-tin", "No class was found. Everything that the sheets list was looked at."),
        ("cedar-fig", "The wick has no core: no word about lead is due."),
        ("cedar-fig", "Certificate of conformity Cedar fig oil 2025-06-24 amendment 51"),
        ("cedar-fig", "Safety sheet Cedar fig oil 2026-02-26 revision 4"),
        ("cedar-fig", "Burn it within sight."),
        ("cedar-fig", "Glass can crack without warning"),
        ("cedar-fig", "Prints on 1 page, A4 or Letter."),
        ("lemon-verbena-pot", "Do not use lot CS-0452 of Coconut soy: incident 3 is open"),
    ],
)
def test_the_sheet_says(ident: str, said: str) -> None:
    """The make-up, the weight, the time and the papers, as the records have them."""
    assert said in sheet(ident)


def test_the_sheet_names_no_supplier_and_no_price() -> None:
    """Not by id, not as a name, and no currency."""
    for ident in APPROVED:
        text = sheet(ident).casefold()
        for supplier in account().studio.suppliers:
            assert supplier not in text
            assert supplier.replace("-", " ") not in text
        assert not re.search(r"\beur\b|€", text)


def test_a_metal_core_has_its_word_of_lead() -> None:
    """With the day; and not whose word it is."""
    files = proven()
    files["wicks/cotton-8.md"] = files["wicks/cotton-8.md"].replace(
        "core: cotton", "core: zinc\nlead_free: {on: 2026-01-09, by: jar-house}"
    )
    text = words_in(rig.html(files)["papers/fig/sheet"])
    assert "The wick's core is of zinc. Its maker's word" in text
    assert "Word that it holds no lead Cotton 8 2026-01-09" in text
    assert "jar-house" not in text


def test_a_plain_core_is_named() -> None:
    """Cotton is no metal."""
    text = words_in(rig.html(proven())["papers/fig/sheet"])
    assert "The wick's core is of cotton, and of no metal: no word about lead is due." in text


def test_hazards_have_a_place() -> None:
    """What is handed over stands there; without it, that nothing was worked out, and no more."""
    found = rig.account(proven())
    desk = Desk(found, Words.load(catalogue()))
    product = found.judged.products["fig"]
    for hazards, said in (
        (("H317: May cause a reaction.",), "H317: May cause a reaction."),
        (None, "Hazards: see the label; not worked out here."),
    ):
        page = page_of_sheet(desk, product, hazards)
        text = words_in(shown({page.path: page})[page.path])
        assert said in text
        assert ("not worked out here" in text) == (hazards is None)


def test_incomplete_hazards_are_never_none() -> None:
    """The oil of the small studio lists no component: the sheet says so before anything else."""
    text = words_in(rig.html(proven())["papers/fig/sheet"])
    assert "Hazards These hazards are incomplete." in text
    assert "No class was found" not in text
    assert "United States" not in text


def test_for_the_united_states_alone_no_class_is_told() -> None:
    """What was not looked at is said, and nothing is claimed."""
    files = proven()
    files["studio.md"] = files["studio.md"].replace("markets: [eu]", "markets: [us]")
    text = words_in(rig.html(files)["papers/fig/sheet"])
    assert "Hazards For the United States no hazard classes are reckoned" in text
    assert "incomplete" not in text


def test_a_paper_of_a_former_specification_is_not_on_the_sheet() -> None:
    """The oil was made anew after its first certificate; the later one alone speaks of it."""
    files = proven()
    files["fragrances/fig-oil.md"] = (
        "---\ndensity: 0.98 g/mL\nmax_use: 9 %\nspec: 2\nspec_since: 2025-12-01\n"
        "certificate:\n  - {on: 2025-11-01}\n  - {on: 2025-12-05}\n"
        "safety_sheet: {on: 2025-12-06}\n---\n"
    )
    for one in "abc":
        of_the_new = "  spec: {fragrances/fig-oil: 2}\n"
        files[f"burns/fig-{one}.md"] = burn(one.upper(), made=of_the_new)
    text = words_in(rig.html(files)["papers/fig/sheet"])
    assert "2025-12-05" in text
    assert "2025-11-01" not in text
