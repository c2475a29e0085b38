"""What each page says, whatever it looks like."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from handbook_builder.derived.account import Account
from handbook_builder.pages.page import Page
from handbook_builder.verdicts.approval import Status
from tests.pages.conftest import GUIDES, RECORDS, shown, told
from tests.records_in_text import STUDIO

APPROVED = {
    "products/cedar-fig",
    "products/cedar-fig-gift",
    "products/lavender-pine",
    "products/lemon-verbena-pot",
    "products/sandalwood-bowl",
    "products/unscented-tin",
}


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_the_approved_index_lists_exactly_the_approved(pages: dict[str, Page]) -> None:
    """Neither one more nor one fewer than the products whose evidence is complete."""
    rows = pages["approved/index"].content.rows
    assert {row.link.path for row in rows} == APPROVED
    assert len(rows) == len(APPROVED)
    assert {one.link.path for one in pages["index"].content.pour} == APPROVED


def test_every_product_is_listed_once(account: Account, pages: dict[str, Page]) -> None:
    """What is not approved is on the other list, with at least one reason."""
    groups = pages["not-approved/index"].content.groups
    waiting = [one for group in groups for one in group.products]
    paths = [one.link.path for one in waiting]
    assert sorted([*paths, *APPROVED]) == sorted(
        f"products/{ident}" for ident in account.judged.products
    )
    assert all(one.missing and all(said.where for said in one.missing) for one in waiting)


@pytest.mark.parametrize("month", range(1, 13))
def test_no_day_shows_an_unapproved_product_as_approved(month: int) -> None:
    """On any day the index agrees with the verdicts of that day, and every page can be told."""
    day = date(2025 if month > 6 else 2026, month, 15)
    pages = told(RECORDS, day)
    listed = {row.link.path for row in pages["approved/index"].content.rows}
    approved = {
        path
        for path, page in pages.items()
        if path.startswith("products/") and page.content.is_approved
    }
    assert listed == approved
    assert len(shown(pages, day)) == len(pages)


def test_the_odds_stand_beside_the_verdict(pages: dict[str, Page]) -> None:
    """Three passes and no failure leave up to 63 in 100: 1 - 0.05^(1/3) (computed)."""
    odds = pages["products/cedar-fig"].content.odds
    assert odds.sentence == (
        "After 3 of 3 passed, all poured on one day, up to 63 in 100 candles like it could "
        "still be bad, at 95 % confidence. More test candles tighten it."
    )
    # 1 - 0.05^(1/5) = 0.451, 1 - 0.05^(1/60) = 0.049 (computed).
    assert (odds.tighter[0], odds.tighter[-1]) == ((5, 45), (60, 5))


def test_a_failure_gets_no_odds(pages: dict[str, Page]) -> None:
    """Where a candle failed, the page does not average it away."""
    odds = pages["products/cedar-fig-big-wick"].content.odds
    assert "failed" in odds.sentence
    assert odds.tighter == ()


def test_former_make_ups_are_told_together(pages: dict[str, Page]) -> None:
    """Candles that differ in the same way are one sentence, which names the former value."""
    (former,) = pages["products/vanilla-tumbler"].content.formers
    assert former.sentence == (
        "3 tests passed on a former make-up; they differ in: wick (zinc-3, now cotton-8)."
    )
    assert [one.title for one in former.candles] == ["A", "B", "C"]


def test_what_is_missing_names_its_line(pages: dict[str, Page]) -> None:
    """The reason leads to the record that would mend it, and says what to do."""
    (said,) = pages["products/black-tea"].content.missing
    assert (
        said.text
        == "The conformity certificate of black-tea-oil, as it is sold now, is not on file."
    )
    assert said.where.startswith("records/fragrances/black-tea-oil.md:")
    assert said.path == "fragrances/black-tea-oil"
    assert "certificate" in said.mend


def test_a_volume_can_be_asked_how_it_came_about(pages: dict[str, Page]) -> None:
    """Water to the line, its temperature and their lines are shown, with the source.

    210.4 g / 0.997994 g/mL = 210.82 mL; density by Tanaka et al. 2001, Metrologia 38, 301-309.
    """
    working = pages["vessels/amber-tumbler"].content.holds.working
    assert "Tanaka et al. 2001" in working.source
    assert [plain(one.value).partition(" (")[0] for one in working.inputs] == ["210.4 g", "21 °C"]
    assert working.inputs[0].where == "records/vessels/amber-tumbler.md:10"
    assert plain(working.result).startswith("210.8 mL")


def test_the_two_ounces_are_told_apart(pages: dict[str, Page]) -> None:
    """A tumbler sold as 9 oz (266 mL to the brim) holds less than 7 oz of wax."""
    trap = pages["vessels/amber-tumbler"].content.holds.trap
    assert "called '9 oz'." in trap
    assert "at most 6.8 oz of wax" in trap


def test_only_ask_first_gets_a_question(pages: dict[str, Page]) -> None:
    """The question to the maker stands where evidence is missing, and nowhere else."""
    asked = {
        path for path, page in pages.items() if page.view == "vessel" and page.content.question
    }
    assert asked == {"vessels/enamel-mug", "vessels/ribbed-jar", "vessels/terracotta-cup"}
    assert "hold a burning candle, 4 h at a time" in plain(
        pages["vessels/ribbed-jar"].content.question[0]
    )


def test_practice_results_stand_apart(pages: dict[str, Page]) -> None:
    """A practice vessel proves nothing and shows what was burned in it."""
    content = pages["vessels/practice-tin"].content
    assert [one.candle for one in content.practice] == ["A", "B", "C", "D"]
    assert content.proven == content.disproven == ()


def test_a_rate_bears_its_expanded_uncertainty(pages: dict[str, Page]) -> None:
    """With k = 2 (JCGM 100:2008) 20.1 g in 232 min on a 0.1 g scale is 5.20 ± 0.02 g/h.

    Mass 0.1/√6 g, time 1/√12 min; 2 · √(0.0408² + (5.198 · 0.00481)²) / 3.867 = 0.0248 (computed).
    """
    content = pages["tests/cedar-fig-a"].content
    (at,) = (at for at, one in enumerate(content.columns) if one.label.startswith("Rate"))
    assert content.cycles[0].cells[at] == "5.20 ± 0.02"


def test_a_failed_candle_says_why(pages: dict[str, Page]) -> None:
    """Each failing cycle stands with its numbers, and the sisters are a step away."""
    content = pages["tests/pine-bowl-a"].content
    assert plain(content.reasons[0]).startswith("Cycle 3: the pool covered 69.57 % of the width")
    assert [one.here for one in content.sisters] == [True, False, False]
    assert (content.previous, content.next.path) == (None, "tests/pine-bowl-b")


def test_a_candle_that_was_set_aside_says_so(
    altered: Callable[..., Path], pages: dict[str, Page]
) -> None:
    """A void test shows its reason, counts for nothing, and its product loses the approval."""
    void = "scale: 0.1 g\nvoid: {why: the scale was off, by: wren, on: 2026-04-30}\n"
    after = told(altered("burns/unscented-tin-a.md", ("scale: 0.1 g\n", void)))
    content = after["tests/unscented-tin-a"].content
    assert content.word.word == "Void"
    assert content.beside.void.why == "the scale was off"
    assert content.counts_for == ()
    assert pages["tests/unscented-tin-a"].content.counts_for
    assert not after["products/unscented-tin"].content.is_approved


def test_since_when(pages: dict[str, Page]) -> None:
    """The day that a product began to stand so comes from its records."""
    since = {one.link.path: one.since for one in pages["index"].content.obstacles}
    assert since["products/pine-bowl"] == date(2025, 12, 2)  # its last full cycle failed
    assert since["products/first-winter"] == date(2026, 1, 31)
    assert since["products/lavender-tin"] == date(2026, 4, 10)
    assert since["products/pine-pot"] is None


def test_what_burns_is_on_the_first_page(pages: dict[str, Page]) -> None:
    """Every candle that burns is named with how far it is; one not lit yet says so."""
    told_so = [plain(one.sentence) for one in pages["index"].content.burning]
    assert told_so[0] == "Candle C: poured on 2026-04-18, not lit yet."
    assert len(told_so) == 3


def test_a_cost_without_a_price_has_no_total(altered: Callable[..., Path]) -> None:
    """What is unpriced is named instead of being left out of a sum."""
    swap = ("fragrances/winter-spice-oil", "fragrances/smoked-vanilla-oil")
    records = altered("purchases/2026-01-15-oils-and-dyes.md", swap)
    cost = told(records)["products/spice-terracotta"].content.cost
    assert cost.total is None
    assert [one.path for one in cost.unpriced] == ["fragrances/winter-spice-oil"]


def test_a_material_is_found_by_its_lots(pages: dict[str, Page]) -> None:
    """The search knows each lot that was bought; a later lot is not known yet."""
    assert "W-2307" in pages["waxes/soy-blend"].words
    assert "W-2307" not in told(RECORDS, date(2025, 11, 1))["waxes/soy-blend"].words


def test_approved_products_rank_highest(pages: dict[str, Page]) -> None:
    """In the search nothing comes before an approved product that is found alike."""
    lowest = min(pages[path].boost for path in APPROVED)
    assert all(page.boost < lowest for path, page in pages.items() if path not in APPROVED)


def test_the_limits_in_force_are_the_studios(pages: dict[str, Page]) -> None:
    """A limit that the studio tightened says so; a published one keeps its source."""
    limits = pages["reference/limits"].content.limits
    rows = {(one.measure, one.breach): one for one in limits if one.vessels == "all"}
    wall = rows["Heat of the outer wall", "The candle fails."]
    assert (wall.own, plain(wall.bound)) == (True, "at most 75 °C (167 °F)")
    flame = rows["Height of the flame", "The candle fails."]
    assert (flame.own, flame.published) == (False, True)
    assert "EN 15493:2007" in flame.source


def test_pages_have_one_path_each(account: Account, pages: dict[str, Page]) -> None:
    """Every record that has a page has exactly one, and no page takes the place of a guide."""
    for folder, room in (("burns", "tests"), ("recipes", "products"), ("vessels", "vessels"),
                         ("waxes", "waxes"), ("wicks", "wicks"), ("fragrances", "fragrances"),
                         ("colorants", "colorants"), ("packaging", "packaging")):  # fmt: skip
        expected = {f"{room}/{ident}" for ident in getattr(account.studio, folder)}
        found = {path for path in pages if path.startswith(f"{room}/") and path != f"{room}/index"}
        assert found == expected
    assert not GUIDES & set(pages)


def test_a_studio_with_nothing_in_it_has_its_pages(tmp_path: Path) -> None:
    """A studio that was just begun builds at once, and approves nothing."""
    (tmp_path / "studio.md").write_text(STUDIO, "utf-8")
    pages = told(tmp_path)
    assert pages["approved/index"].content.rows == ()
    assert "Nothing is approved" in shown(pages)["index"]


def test_every_status_is_in_the_demo(account: Account) -> None:
    """The tests above see each status at least once."""
    assert {one.status for one in account.judged.products.values()} == set(Status)


def test_a_burning_candle_is_not_blamed_for_burning(pages: dict[str, Page]) -> None:
    """While a candle burns its page lists only what its cycles lack, not its missing end."""
    content = pages["tests/lemon-verbena-tumbler-c"].content
    assert (content.word.word, content.reasons, content.other_gaps) == ("Burning", (), ())
