"""The pour sheets: which there are, what they say, and what they never say."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from markupsafe import escape

from handbook_builder.derived.account import Account
from handbook_builder.derived.pour import pour_of
from handbook_builder.figures.pour import scale_of, weighed
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.pour_sheet import COUNTS, Sheet, sheet_of
from handbook_builder.verdicts.approval import Status
from handbook_builder.words import Words
from handbook_builder.workshop import account_in, words_for
from tests.pages.conftest import DAY, catalogue, shown, told
from tests.pages.test_told import APPROVED, plain

PROVEN = {one.removeprefix("products/") for one in APPROVED}


def sheets(pages: dict[str, Page]) -> dict[str, Sheet]:
    """Return the sheets by the id of their recipe."""
    return {page.content.id: page.content for page in pages.values() if page.view == "pour"}


def account_of_records(records: Path) -> Account:
    """Return the account of altered records."""
    account, problems = account_in(records, DAY)
    assert account is not None, problems
    return account


def amounts(sheet: Sheet) -> dict[str, str | None]:
    """Return what to weigh by item."""
    return {one.item: one.amount for one in sheet.ingredients}


def test_a_pour_worked_by_hand(account: Account, words: Words) -> None:
    """Lemon verbena in a soapstone pot, 17 candles: the arithmetic is written out below.

    Recipe: 3.9 oz net, 7 % oil of the whole, 0.1 % dye of the wax; 2 % stays in the pitcher.
    """
    sheet = sheet_of(Desk(account, words), "lemon-verbena-pot", 17)
    # Net: 3.9 · 28.349523125 g = 110.5631401875 g, of which 7 % is oil:
    # 7.739419813 g. The rest, 102.823720374 g, is wax, and dye of 0.1 % of the wax:
    # wax is 102.823720374 / 1.001 = 102.720999375 g.
    # 17 · 102.720999375 / 0.98 = 1781.894887 g: 1781.9 g, or 17819 steps of 0.1 g.
    # Oil: 17819 · 7.739419813 / 102.720999375 = 1342.5477: 1343, or 134.3 g.
    # Dye: 17819 · 0.001 = 17.819: 18, or 1.8 g. Together 1781.9 + 134.3 + 1.8 = 1918.0 g.
    assert amounts(sheet) == {
        "waxes/coconut-soy": "1781.9",
        "fragrances/lemon-verbena-oil": "134.3",
        "colorants/yellow-dye": "1.8",
    }
    assert sheet.rounded.total == "1918.0"
    # Load: 1343 / 17819 = 7.5369 %. Share: 1343 / 19180 = 7.0021 %. Off: 0.0021 points: 0.002.
    assert (sheet.rounded.load, sheet.rounded.share, sheet.rounded.off) == ("7.54", "7.00", "0.002")
    assert sheet.rounded.is_fit
    assert sheet.work.cure_days == 14  # "2 weeks"


def test_every_product_has_a_sheet(account: Account, pages: dict[str, Page]) -> None:
    """One sheet a product, and only those of approved products are without the mark of a test."""
    found = sheets(pages)
    assert set(found) == set(account.judged.products)
    assert {ident for ident, one in found.items() if not one.mark} == PROVEN
    for ident, one in found.items():
        if ident not in PROVEN:
            assert one.marks[-1] == ("DO NOT POUR" if one.refused else "TEST POUR"), ident


@pytest.mark.parametrize("month", range(1, 13))
def test_no_day_has_an_unmarked_sheet_of_an_unproven_product(month: int) -> None:
    """On any day a sheet is without the mark exactly when its product is approved that day."""
    day = DAY.replace(year=2025 if month > 6 else 2026, month=month)
    account, _ = account_in(Path(__file__).parents[2] / "records", day)
    assert account is not None
    desk = Desk(account, words_for(account.studio, catalogue()))
    for ident, product in account.judged.products.items():
        assert (sheet_of(desk, ident).mark == "") == (product.status is Status.APPROVED)


def test_a_test_sheet_says_so_and_never_the_other_word(
    html: dict[str, str], pages: dict[str, Page]
) -> None:
    """What is not proven bears its mark at the top and across each printed page."""
    for ident, sheet in sheets(pages).items():
        text = html[f"pour/{ident}"]
        if ident not in PROVEN:
            assert f">{sheet.mark}</p>" in text, ident
            assert all(f"<span>{one}</span>" in text for one in sheet.marks), ident
            assert f"<h1>{sheet.mark}: " in text, ident
            assert "approved" not in re.sub("not[ -]approved", "", text.lower()), ident


@pytest.mark.parametrize(
    ("ident", "mark"),
    [
        ("pine-pot", "TEST POUR"),  # untested
        ("black-tea", "TEST POUR"),  # held
        ("cedar-fig-big-wick", "FAILED. TEST POUR"),
        ("lavender-tin", "SUSPENDED. TEST POUR"),
        ("first-winter", "RETIRED. TEST POUR"),
        ("driftwood-cedar", "DO NOT POUR"),  # its vessel is of wood
        ("lavender-bubble", "FAILED. DO NOT POUR"),  # and its vessel is refused
        ("strong-vanilla-tin", "DO NOT POUR"),  # more oil than the wax takes
    ],
)
def test_the_banner_says_why_it_is_none_for_people(
    pages: dict[str, Page], ident: str, mark: str
) -> None:
    """Not only that it is a test pour: a failed, suspended or retired product says so."""
    assert sheets(pages)[ident].mark == mark
    assert pages[f"pour/{ident}"].title.startswith(f"{mark}: ")


def test_a_refused_vessel_or_a_broken_limit_gets_no_weights(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """Nothing to weigh, to set ready, to heat or to do: the sheet says why instead."""
    found = sheets(pages)
    refused = {ident for ident, one in found.items() if one.refused}
    assert refused == {"driftwood-cedar", "lavender-bubble", "strong-vanilla-tin", "orange-clove"}
    for ident in refused:
        sheet, text = found[ident], html[f"pour/{ident}"]
        assert (sheet.ingredients, sheet.pieces, sheet.table.rows, sheet.work.steps) == ((),) * 4
        assert "data-ug" not in text
        assert "<form" not in text.partition("<article")[2]
        assert "data-ug" not in html[f"products/{ident}"]
        assert all(html_of(one) in text for one in sheet.refused), ident
        assert all(html_of(one) in html[f"products/{ident}"] for one in sheet.refused), ident
    assert "burns or melts" in found["driftwood-cedar"].refused[0]
    assert "at most" in found["strong-vanilla-tin"].refused[0]


def html_of(sentence: str) -> str:
    """Return a sentence as it stands in a page."""
    return str(escape(sentence))


def test_only_the_sheet_of_an_approved_product_bears_the_mark(
    pages: dict[str, Page], html: dict[str, str]
) -> None:
    """The mark of approval is on the sheet that is used at the scale, once, and on no other."""
    for ident in sheets(pages):
        text = html[f"pour/{ident}"]
        assert text.count("verdict--good") == (1 if ident in PROVEN else 0), ident
    assert "<span>Approved</span></strong>" in html["pour/cedar-fig"]


def test_no_links_in_the_rows_at_the_scale(html: dict[str, str]) -> None:
    """A wet finger on a row must not leave the sheet."""
    for path, text in html.items():
        if path.startswith("pour/"):
            for table in re.findall(r"<table.*?</table>", text, re.DOTALL):
                assert "<a " not in table, path


def test_a_sheet_of_a_proven_product_is_no_test(html: dict[str, str]) -> None:
    """It bears no word of a test pour, and names its status with the day."""
    for ident in PROVEN:
        assert "TEST" not in html[f"pour/{ident}"]
        assert "Status as of 2026-05-01: Approved." in html[f"pour/{ident}"]


def test_test_sheets_begin_with_what_makes_sense(pages: dict[str, Page]) -> None:
    """A sheet is for the test candles that are still needed, or for one where none makes sense."""
    found = sheets(pages)
    told_of = {ident: (one.sensible, one.asked.count) for ident, one in found.items()}
    assert told_of["pine-pot"] == (3, 3)  # untested
    assert told_of["pine-bowl"] == (0, 1)  # a candle failed
    assert told_of["lemon-verbena-tumbler"] == (0, 1)  # three burn
    assert told_of["black-tea"] == (0, 1)  # three passed, a paper is missing
    assert told_of["practice-pour"] == (0, 1)
    assert told_of["cedar-fig"] == (None, 1)
    assert "no further candle mends that" in found["pine-bowl"].sense
    assert found["pine-pot"].sense == (
        "How many more make sense: 3. Needed: 3, passed: 0, curing or burning: 0."
    )
    assert found["pine-pot"].asked.label == "Test candles"
    assert found["pine-pot"].table.counts == (1, 2, 3)


def test_the_table_agrees_with_the_sheets(account: Account, words: Words) -> None:
    """Each column of the table for print is what the sheet for that count says."""
    desk = Desk(account, words)
    table = sheet_of(desk, "lavender-pine").table
    assert table.counts == COUNTS
    for at, count in enumerate(table.counts, start=1):
        column = [row[at] for row in table.rows]
        assert column == list(amounts(sheet_of(desk, "lavender-pine", count)).values())


def test_pieces_are_counted(account: Account, words: Words) -> None:
    """Vessels, wicks and packaging for 17 of a boxed candle."""
    sheet = sheet_of(Desk(account, words), "cedar-fig-gift", 17)
    counted = {one.item: one.count for one in sheet.pieces}
    assert counted["vessels/amber-tumbler"] == counted["wicks/cotton-8"] == 17
    assert counted["packaging/gift-box"] == 17


def test_the_scale_is_the_newest_test_candles(altered: Callable[..., Path], words: Words) -> None:
    """The readability that the newest candle names; candles of a twin recipe count as well."""
    for letter in "abc":
        altered(f"burns/cedar-fig-{letter}.md", ("scale: 0.1 g", "scale: 0.5 g"))
    account = account_of_records(altered("burns/cedar-fig-c.md", ("scale: 0.5 g", "scale: 1 g")))
    desk = Desk(account, words)
    assert sheet_of(desk, "cedar-fig").step == "1\N{NO-BREAK SPACE}g"
    assert sheet_of(desk, "cedar-fig-gift").step == "1\N{NO-BREAK SPACE}g"
    assert sheet_of(desk, "pine-pot").step == "0.1\N{NO-BREAK SPACE}g"  # nothing burned yet


def test_a_scale_that_is_too_coarse_shows_no_weights(account: Account, words: Words) -> None:
    """Weights that would be another candle are not shown, nor their total."""
    sheet = sheet_of(Desk(account, words), "cedar-fig", 1, scale_of(5.0))
    assert not sheet.rounded.is_fit
    assert set(amounts(sheet).values()) == {None}
    assert sheet.rounded.total is None
    assert sheet.table.rows[0][1] is None  # one candle
    assert sheet.table.rows[0][8] is not None  # 48 of them


def test_an_oil_near_a_limit_is_rounded_down(
    account: Account, altered: Callable[..., Path]
) -> None:
    """Within the tolerance of its largest use or of the wax's largest load, never above it.

    The recipe has 8 % on the wax, which is 7.407 % of the candle; the tolerance is 0.2 points.
    """
    assert pour_of(account, "cedar-fig").mix.down == frozenset()
    oil = "fragrances/cedar-fig-oil.md"
    text = (Path(__file__).parents[2] / "records" / oil).read_text("utf-8")
    (line,) = [one for one in text.splitlines() if one.startswith("max_use:")]
    near = account_of_records(altered(oil, (line, "max_use: 7.55 %")))
    assert pour_of(near, "cedar-fig").mix.down == {"cedar-fig-oil"}
    far = account_of_records(altered(oil, ("max_use: 7.55 %", "max_use: 7.7 %")))
    assert pour_of(far, "cedar-fig").mix.down == frozenset()
    # 0.2 points of the candle are 0.2 · 1.08² = 0.233 points on the wax.
    full = account_of_records(altered("waxes/soy-blend.md", ("max_load: 10 %", "max_load: 8.2 %")))
    assert pour_of(full, "cedar-fig").mix.down == {"cedar-fig-oil"}
    roomy = account_of_records(altered("waxes/soy-blend.md", ("max_load: 8.2 %", "max_load: 9 %")))
    assert pour_of(roomy, "cedar-fig").mix.down == frozenset()


def test_no_approved_sheet_passes_a_limit(account: Account) -> None:
    """For every approved product and each count of the table the limits hold after rounding."""
    studio = account.studio
    for ident in PROVEN:
        pour = pour_of(account, ident)
        waxes = [studio.waxes[one].max_load for one in pour.mix.wax_ug]
        for count in range(1, 49):
            found = weighed(pour.mix, pour.scale, count)
            assert found.fits, (ident, count)
            assert found.load <= min(waxes) * 10_000
            for oil, steps in found.oil.items():
                assert steps <= (studio.fragrances[oil].max_use or 0) * found.total


def test_what_is_not_on_file_is_said(altered: Callable[..., Path], words: Words) -> None:
    """Without a heat for the wax the sheet asks for it, and invents none."""
    changes = [(f"{key}: {heat} degC\n", "") for key, heat in
               (("heat_to", 80), ("add_at", 70), ("pour_at", 60))]  # fmt: skip
    account = account_of_records(altered("waxes/soy-blend.md", *changes))
    steps = sheet_of(Desk(account, words), "lavender-pine").work.steps
    assert "How hot it may get is not on file" in steps[2]
    assert steps[3].startswith("Weigh the oil, add it")
    assert "At what heat the wax's maker wants it is not on file" in steps[3]
    assert "At what heat is not on file" in steps[4]


def heats_told(account: Account, words: Words, ident: str) -> list[float]:
    """Return the temperatures that the steps of a sheet order, in °C, in their order."""
    steps = " ".join(sheet_of(Desk(account, words), ident).work.steps)
    return [float(one) for one in re.findall(r"([\d.]+)\N{NO-BREAK SPACE}°C", steps)]


def test_the_heats_stand_in_one_order(account: Account, words: Words) -> None:
    """Heat, add the oil, pour: as the wax's record has it, whatever the oil's flash point is.

    Lemon verbena oil has its flash point at 66 °C; its wax is heated to 75, takes the oil at 68
    and is poured at 55 °C. Pine resin oil has it at 62 °C, its paraffin is poured at 76.7 °C.
    """
    assert heats_told(account, words, "lemon-verbena-pot") == [75, 68, 55]
    assert heats_told(account, words, "cedar-fig") == [80, 70, 60]
    for ident in account.judged.products:
        sheet = sheet_of(Desk(account, words), ident)
        assert not re.search(r"[Cc]ool below", " ".join((*sheet.work.steps, *sheet.work.cautions)))
        told_c = heats_told(account, words, ident)
        assert told_c == sorted(told_c, reverse=True), ident


def test_the_flash_point_of_an_oil_is_a_caution(account: Account, words: Words) -> None:
    """It warns of a flame and of an open bottle, and a sheet without oil has no word of it."""
    caution = plain(sheet_of(Desk(account, words), "lemon-verbena-pot").work.cautions[0])
    assert "Lemon verbena oil 66 °C" in caution
    assert (
        "No flame, and no open bottle near the melter: the vapour of an oil can catch fire."
        in caution
    )
    bare = " ".join(sheet_of(Desk(account, words), "unscented-tin").work.cautions)
    assert "vapour" not in bare


def with_wax(account: Account, **changes: float) -> Account:
    """Return the account with other heats in the record of the soy blend."""
    waxes = dict(account.studio.waxes)
    waxes["soy-blend"] = replace(waxes["soy-blend"], **changes)  # type: ignore[arg-type]
    return replace(
        account,
        judged=replace(account.judged, studio=replace(account.studio, waxes=waxes)),
    )


def test_a_contradiction_is_said_in_its_step(words: Words, account: Account) -> None:
    """The step says not to heat, and no other heat is ordered higher than the flash point."""
    hot = with_wax(account, heat_to_c=250.0)
    sheet = sheet_of(Desk(hot, words), "cedar-fig")
    assert plain(sheet.work.steps[2]).startswith("Weigh the wax first. Do not heat it.")
    assert "Heat it to" not in " ".join(sheet.work.steps)
    assert "contradict each other" in sheet.work.cautions[0]


def test_an_oil_added_cooler_than_it_is_poured(words: Words, account: Account) -> None:
    """Then the sheet says to warm it again, and no higher: not two heats at once."""
    cool = with_wax(account, add_at_c=55.0)
    step = sheet_of(Desk(cool, words), "cedar-fig").work.steps[4]
    assert plain(step).startswith("Warm it again, to 60 °C")


def test_the_order_of_work_names_only_what_is_in_it(account: Account, words: Words) -> None:
    """No oil and no dye where there is none."""
    steps = " ".join(sheet_of(Desk(account, words), "unscented-tin").work.steps)
    assert "oil" not in steps
    assert "colorant" not in steps


def test_the_numbers_for_the_script_are_whole(html: dict[str, str]) -> None:
    """The page of an approved product and its sheet carry the same whole numbers."""
    for path in ("products/cedar-fig", "pour/cedar-fig"):
        assert (
            'data-kept="980000" data-step="100000" data-digits="1" data-decimals="1"' in html[path]
        )
        assert 'data-part="wax" data-ug="169166667"' in html[path]


def test_every_unit_of_a_scale(altered: Callable[..., Path], words: Words) -> None:
    """A scale that reads in ounces gets its weights in ounces."""
    for letter in "abc":
        altered(f"burns/cedar-fig-{letter}.md", ("scale: 0.1 g", "scale: 0.01 oz"))
    records = altered("burns/cedar-fig-a.md", ("0.01 oz", "0.01 oz"))
    sheet = sheet_of(Desk(account_of_records(records), words), "cedar-fig", 17)
    assert sheet.scale.unit == "oz"
    # 17 · 169.166667 g / 0.98 = 2934.5238 g; by 28.349523125 g/oz, 103.5123 oz: 103.51.
    assert amounts(sheet)["waxes/soy-blend"] == "103.51"
    assert ">oz<" in shown(told(records))["pour/cedar-fig"]
