"""Pour sheets in a real browser: the same digits as the command's, and a sheet in three clicks."""

import json
import random
import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner
from conftest import visiting
from demo import DAY, ROOT, pourable
from visits import Visit, pages_in

from handbook_builder.cli import main
from handbook_builder.figures.pour import Mix, Scale, decimal_text, scale_of, weighed
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.pour_sheet import sheet_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page, ViewportSize

pytestmark = pytest.mark.browser

COUNTS = [*range(1, 31), 48, 64, 99, 100, 143, 500, 999, 1000, 2500, 4097, 9998, 9999]
PHONE: "ViewportSize" = {"width": 390, "height": 844}
NONE = "\N{EN DASH}"

# Sets the whole numbers of a sheet, types the count, and returns all that it then shows.
SHOWN = """(asked) => {
  const sheet = document.querySelector('form[data-pour]');
  for (const [name, value] of Object.entries(asked.numbers)) {
    sheet.setAttribute('data-' + name, value);
  }
  const field = sheet.querySelector('[data-pour-count]');
  return asked.counts.map((count) => {
    field.value = count;
    field.dispatchEvent(new Event('input', {bubbles: true}));
    const told = (name) => sheet.querySelector('[data-told=' + name + ']')?.textContent ?? null;
    return {
      weights: Array.from(sheet.querySelectorAll('[data-part]'), (one) => one.textContent),
      pieces: Array.from(sheet.querySelectorAll('[data-each]'), (one) => one.textContent),
      total: told('total'), load: told('load'), share: told('share'), farthest: told('farthest'),
      state: Array.from(sheet.querySelectorAll('[data-when]')).filter((one) => !one.hidden)
        .map((one) => one.getAttribute('data-when')).join(),
    };
  });
}"""
# Puts other parts in the place of those of the sheet: [kind, micrograms, rounded down].
REPLACED = """(parts) => {
  const old = Array.from(document.querySelectorAll('[data-part]'));
  const place = old[0].parentElement;
  old.forEach((one) => one.remove());
  for (const [kind, ug, down] of parts) {
    const one = document.createElement('span');
    one.setAttribute('data-part', kind);
    one.setAttribute('data-ug', ug);
    if (down) one.setAttribute('data-down', '');
    place.append(one);
  }
}"""


@pytest.fixture(scope="module")
def site(demo: Path) -> Path:
    """Return the site of the demo."""
    return demo


def in_program(desk: Desk, ident: str, count: int) -> dict[str, Any]:
    """Return what the program says, in the shape that SHOWN returns."""
    sheet = sheet_of(desk, ident, count)
    fit, told = sheet.rounded.is_fit, sheet.rounded
    return {
        "weights": [one.amount or NONE for one in sheet.ingredients],
        "total": told.total or NONE,
        "load": (told.load if fit else NONE) if sheet.mix.oil_ug else None,
        "share": (told.share if fit else NONE) if sheet.mix.oil_ug else None,
        "farthest": told.off if fit else NONE,
        "state": "fits" if fit else "coarse",
    }


def numbers_of(mix: Mix, scale: Scale) -> dict[str, str]:
    """Return the numbers of a sheet as its form bears them."""
    numbers = {"kept": mix.kept_ppm, "tolerance": mix.tolerance_ppm, "step": scale.step_ug,
               "digits": scale.digits, "decimals": scale.decimals}  # fmt: skip
    return {name: str(value) for name, value in numbers.items()}


def test_each_approved_product_for_each_count(visit: Visit, desk: Desk) -> None:
    """On the page of every approved product the digits are the program's, from 1 to 9999."""
    approved = [ident for ident, one in desk.judged.products.items() if not one.missing]
    assert len(approved) > 3
    for ident in approved:
        visit.open(f"products/{ident}.html")
        asked = {"numbers": {}, "counts": [str(one) for one in COUNTS]}
        for count, shown in zip(COUNTS, visit.page.evaluate(SHOWN, asked), strict=True):
            shown.pop("pieces")
            assert shown == in_program(desk, ident, count), (ident, count)
    assert visit.complaints == []
    assert visit.strangers() == []


def test_each_sheet_for_each_count(visit: Visit, desk: Desk) -> None:
    """The sheets for the bench, test pours too, count their vessels and wicks as well."""
    for ident in pourable(desk):
        visit.open(f"pour/{ident}.html")
        asked = {"numbers": {}, "counts": [str(one) for one in COUNTS]}
        for count, shown in zip(COUNTS, visit.page.evaluate(SHOWN, asked), strict=True):
            pieces = [str(one.count) for one in sheet_of(desk, ident, count).pieces]
            assert shown.pop("pieces") == pieces, (ident, count)
            assert shown == in_program(desk, ident, count), (ident, count)
    assert visit.complaints == []


def test_the_page_and_the_command(visit: Visit) -> None:
    """What is typed into the field gives what `handbook pour --json` prints."""
    for ident, count in (("lemon-verbena-pot", 17), ("lavender-pine", 1), ("unscented-tin", 9999)):
        words = ["pour", ident, "--count", str(count), "--json", "--studio", str(ROOT)]
        told = json.loads(CliRunner().invoke(main, words).stdout)
        visit.open(f"products/{ident}.html")
        field = visit.page.get_by_label("Candles", exact=True)
        field.click()
        visit.page.keyboard.type(str(count))
        assert field.input_value() == str(count)
        weights = visit.page.locator("[data-part]").all_text_contents()
        assert weights == [one["amount"] for one in told["weights"]]
        assert visit.page.locator("[data-told=total]").text_content() == told["total"]
        assert visit.page.locator("[data-told=farthest]").text_content() == told["off_points"]


def drawn(dice: random.Random) -> tuple[Mix, Scale]:
    """Draw a candle that no recipe of the demo has, and a scale."""
    oils = {name: dice.randint(100_000, 40_000_000) for name in "abc"[: dice.randint(0, 3)]}
    mix = Mix(
        wax_ug={name: dice.randint(1, 400_000_000) for name in "abc"[: dice.randint(1, 3)]},
        oil_ug=oils,
        colorant_ug={name: dice.randint(1, 2_000_000) for name in "ab"[: dice.randint(0, 2)]},
        down=frozenset(name for name in oils if dice.random() < 0.5),
        kept_ppm=dice.randint(500_000, 1_000_000),
        tolerance_ppm=dice.randint(0, 5_000),
    )
    return mix, scale_of(dice.choice([0.001, 0.01, 0.05, 0.1, 0.5, 1.0, 2.0, 5.0, 0.28349523125]))


def test_any_whole_numbers(visit: Visit) -> None:
    """With 300 candles drawn at random, several waxes, limits and scales, no digit differs."""
    dice = random.Random(20260501)  # noqa: S311 -- numbers to compute with, no secret
    visit.open("pour/cedar-fig.html")
    seen = set()
    for _ in range(300):
        mix, scale = drawn(dice)
        counts = [dice.randint(1, 9999), dice.randint(1, 30)]
        rows = [(kind, part) for kind, part in (("wax", mix.wax_ug), ("oil", mix.oil_ug),
                                                ("colorant", mix.colorant_ug))]  # fmt: skip
        parts = [[kind, str(ug), kind == "oil" and name in mix.down]
                 for kind, part in rows for name, ug in part.items()]  # fmt: skip
        visit.page.evaluate(REPLACED, parts)
        asked = {"numbers": numbers_of(mix, scale), "counts": [str(one) for one in counts]}
        for count, shown in zip(counts, visit.page.evaluate(SHOWN, asked), strict=True):
            found = weighed(mix, scale, count)
            steps = [*found.wax.values(), *found.oil.values(), *found.colorant.values()]
            seen.add(found.fits)
            assert shown["state"] == ("fits" if found.fits else "coarse")
            assert shown["weights"] == [scale.text(n) if found.fits else NONE for n in steps]
            assert shown["farthest"] == (decimal_text(found.off, 3) if found.fits else NONE)
            assert shown["load"] == (decimal_text(found.load, 2) if found.fits else NONE)
            assert shown["share"] == (decimal_text(found.share, 2) if found.fits else NONE)
    assert seen == {True, False}


def test_the_tolerance_itself_is_within(visit: Visit) -> None:
    """802 g of wax and 198 g of oil in steps of 100 g: 20 % where 19.8 % is asked for."""
    visit.open("pour/cedar-fig.html")
    visit.page.evaluate(REPLACED, [["wax", "802000000", False], ["oil", "198000000", False]])
    for tolerance, state in (("2000", "fits"), ("1999", "coarse")):
        numbers = {"kept": "1000000", "step": "100000000", "tolerance": tolerance}
        (shown,) = visit.page.evaluate(SHOWN, {"numbers": numbers, "counts": ["1"]})
        assert shown["state"] == state


@pytest.mark.parametrize("typed", ["", "0", "00", "1.5", "-3", "x", "1e3", "٣", "99999"])
def test_what_is_no_count(visit: Visit, typed: str) -> None:
    """No weight is shown for it, and the sheet says what to write."""
    visit.open("pour/cedar-fig.html")
    (shown,) = visit.page.evaluate(SHOWN, {"numbers": {"most": "9999"}, "counts": [typed]})
    assert set(shown["weights"]) == {shown["total"]} == {NONE}
    assert shown["state"] == "bad"
    assert visit.page.get_by_text("Write a whole number from 1 to 9999.").is_visible()


def test_days_of_the_cure(visit: Visit) -> None:
    """Today is filled in; the cure of 14 days crosses the end of a month, and a leap day."""
    visit.open("pour/cedar-fig.html")
    on, cured = visit.page.locator("[data-pour-on]"), visit.page.locator("[data-told=cured]")
    today = visit.page.evaluate("() => new Date().toLocaleDateString('sv')")
    assert on.input_value() == max(today, DAY.isoformat())
    for day in (date(2026, 5, 20), date(2028, 2, 20), date(2026, 12, 25), date(2026, 10, 20)):
        on.fill(day.isoformat())
        assert cured.text_content() == (day + timedelta(days=14)).isoformat()


@pytest.fixture
def phone(browser: "Browser", site: Path) -> Iterator[Visit]:
    """Open the site from its folder on a narrow screen, with no network, and count prints."""
    with visiting(browser, site.as_uri()) as visit:
        visit.page.set_viewport_size(PHONE)
        visit.page.context.set_offline(offline=True)
        visit.page.add_init_script("window.print = () => { window.printed = true; };")
        yield visit


def test_from_the_approved_index_to_a_printed_sheet_in_three_clicks(phone: Visit) -> None:
    """Index, sheet, 17, print: three clicks on a 390 px screen without a network, and one page."""
    clicks = 0

    def click(on: "Locator") -> None:
        nonlocal clicks
        clicks += 1
        on.click()

    phone.open("approved/index.html")
    page: Page = phone.page
    click(page.get_by_role("link", name="Pour sheet for Cedar and fig, amber tumbler"))
    click(page.get_by_label("Candles", exact=True))
    page.keyboard.type("17")
    click(page.get_by_role("button", name="Print this sheet"))
    assert clicks == 3
    assert page.evaluate("() => window.printed") is True
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390
    page.emulate_media(media="print")
    assert page.locator("[data-part]").all_text_contents() == ["2934.5", "234.8"]
    assert page.locator("[data-told=count]").text_content() == "17"
    assert page.locator("[data-told=count]").is_visible()
    assert not page.locator("[data-pour-live]").is_visible()
    for paper in ("A4", "Letter"):
        assert pages_in(page.pdf(format=paper)) == 1
    assert phone.complaints == []
    assert phone.strangers() == []


def test_the_count_goes_along(phone: Visit) -> None:
    """The count typed on the page of a product is the one of the sheet for the bench."""
    phone.open("products/cedar-fig.html")
    phone.page.get_by_label("Candles", exact=True).fill("17")
    phone.page.get_by_role("link", name="The sheet for the bench").click()
    phone.page.wait_for_url("**/pour/cedar-fig.html?count=17")
    assert phone.page.locator("[data-part]").all_text_contents() == ["2934.5", "234.8"]


def test_without_the_script_the_sheet_is_whole(browser: "Browser", site: Path) -> None:
    """No script, no field: the weights that the page was built with, and the cure in words."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site.as_uri()}/pour/lavender-pine.html")
    assert not page.locator("[data-pour-count]").is_visible()
    assert page.get_by_text("14 days after pouring").is_visible()
    assert page.locator("[data-told=count]").text_content() == "1"
    assert re.fullmatch(r"\d+\.\d", page.locator("[data-part]").first.text_content() or "")
    context.close()
