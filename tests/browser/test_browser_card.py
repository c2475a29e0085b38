"""The pour sheet as a card in a real browser, and the form that hands over what was done."""

import random
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner
from conftest import visiting
from demo import ROOT, pourable
from visits import Visit

from handbook_builder.cli import main
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.pour_sheet import sheet_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

COUNTS = (1, 2, 3, 7, 12, 17, 48, 99, 1000, 9999)
SHEET = "pour/cedar-fig.html"
SCREENS = ((390, 844, 48), (820, 1180, 64), (1280, 800, 64))

# Walks through the whole card, and returns what each step shows.
WALK = """() => {
  const card = document.querySelector('[data-card]');
  const seen = [];
  for (let more = true; more;) {
    const part = Array.from(card.querySelectorAll('[data-card-at]')).find((one) => !one.hidden);
    const read = (name) => (part.querySelector('[data-card-' + name + ']') || {}).textContent;
    seen.push([part.dataset.cardAt, read('item') || read('text') || '', read('mass') || '']);
    const next = card.querySelector('[data-card-next]');
    more = !next.disabled;
    next.click();
  }
  return seen;
}"""


@pytest.fixture(scope="module")
def site(demo: Path) -> Path:
    """Return the site of the demo."""
    return demo


@pytest.fixture
def folder(browser: "Browser", demo: Path) -> Iterator[Visit]:
    """Open the site from its folder."""
    with visiting(browser, demo.as_uri()) as visit:
        yield visit


def opened(visit: Visit, path: str = SHEET) -> "Page":
    """Open a sheet and its card."""
    visit.open(path)
    visit.page.get_by_role("button", name="Work step by step").click()
    return visit.page


def to_step(page: "Page", kind: str, nth: int = 0) -> None:
    """Go on until the card shows the nth step of a kind."""
    for _ in range(60):
        if page.locator(f'[data-card-at="{kind}"]').is_visible():
            if nth == 0:
                return
            nth -= 1
        page.locator("[data-card-next]").click()
    pytest.fail(f"no step {kind}")


def test_each_step_of_each_sheet_for_many_counts(folder: Visit, desk: Desk) -> None:
    """Every weight, piece and step of the sheet stands in the card, once, with the same digits."""
    dice = random.Random(20261128)  # noqa: S311 -- counts to try, no secret
    for ident in pourable(desk):
        for count in (*dice.sample(COUNTS, 2), dice.randint(1, 9999)):
            sheet = sheet_of(desk, ident, count)
            page = opened(folder, f"pour/{ident}.html?count={count}")
            found = [tuple(one) for one in page.evaluate(WALK)]
            assert found[0][0] == "count"
            assert found[-1][0] == "end"
            weights = [(one.link.title, one.amount or "\N{EN DASH}") for one in sheet.ingredients]
            assert sorted(one[1:] for one in found if one[0] == "weigh") == sorted(weights)
            pieces = [(one.link.title, str(one.count)) for one in sheet.pieces]
            assert [one[1:] for one in found if one[0] == "piece"] == pieces
            assert [one[1] for one in found if one[0] == "step"] == list(sheet.work.steps)
            folder.page.evaluate("() => localStorage.clear()")
    assert folder.complaints == []
    assert folder.strangers() == []


def test_what_is_weighed_comes_just_before_its_step(folder: Visit) -> None:
    """Wax before the step that heats it, oil before the step that adds it."""
    page = opened(folder, f"{SHEET}?count=17")
    found = [tuple(one) for one in page.evaluate(WALK)]
    wax, oil = (
        found.index(("weigh", "Soy blend", "2934.5")),
        found.index(("weigh", "Cedar fig oil", "234.8")),
    )
    assert found[wax + 1][1].startswith("Weigh the wax first.")
    assert found[oil + 1][1].startswith("Weigh the oil.")
    assert wax < oil


def test_its_numbers_are_read_at_arms_length(browser: "Browser", demo: Path) -> None:
    """Letters of 48 px on a telephone and 64 px on a tablet, nothing hangs over the edge."""
    for width, height, least in SCREENS:
        with visiting(browser, demo.as_uri()) as visit:
            visit.page.set_viewport_size({"width": width, "height": height})
            page = opened(visit, f"{SHEET}?count=9999")
            to_step(page, "weigh")
            mass = page.locator("[data-card-at=weigh] [data-card-mass]")
            size = mass.evaluate("one => parseFloat(getComputedStyle(one).fontSize)")
            assert size >= least, width
            body = page.locator("[data-card-body]")
            assert body.evaluate("one => one.scrollWidth - one.clientWidth") <= 0, width
            box, screen = page.locator("[data-card]").bounding_box(), {"x": 0, "y": 0,
                "width": width, "height": height}  # fmt: skip
            assert box == screen
            tick = page.locator("[data-card-tick-row]").bounding_box()
            assert tick is not None
            assert tick["height"] >= 72


def test_the_count_is_locked_by_the_first_tick_and_a_change_voids_all(visit: Visit) -> None:
    """Another count asks first; no is no, and yes takes every tick back."""
    page = opened(visit)
    page.locator("[data-card-number]").fill("17")
    assert page.locator("[data-card-count]").text_content() == "17"
    to_step(page, "weigh")
    page.locator("[data-card-tick]").check()
    page.keyboard.press("ArrowRight")
    page.locator("[data-card-tick]").check()
    for _ in range(20):
        page.locator("[data-card-back]").click(force=True)
        if page.locator("[data-card-back]").is_disabled():
            break
    assert not page.locator("[data-card-number]").is_visible()
    assert page.get_by_text("The count is locked").is_visible()
    page.get_by_role("button", name="Change the count").click()
    page.get_by_role("button", name="No, keep it").click()
    assert page.locator("[data-tick]:checked").count() == 2
    page.get_by_role("button", name="Change the count").click()
    page.get_by_role("button", name="Yes, void the ticks").click()
    assert page.locator("[data-tick]:checked").count() == 0
    page.locator("[data-card-number]").fill("6")
    assert page.locator("[data-told=count]").first.text_content() == "6"
    assert visit.complaints == []


def test_ticks_lots_and_place_are_there_after_a_reload(visit: Visit) -> None:
    """The tab that is dropped comes back at the step where it was left, in the card."""
    page = opened(visit, f"{SHEET}?count=12")
    to_step(page, "weigh")
    page.locator("[data-card-lot]").fill("W-2307")
    page.locator("[data-card-tick]").check()
    place = page.locator("[data-card-place]").text_content()
    page.reload()
    page.locator("[data-card][open]").wait_for()
    assert page.locator("[data-card-place]").text_content() == place
    assert page.locator("[data-card-tick]").is_checked()
    assert page.locator("[data-card-lot]").input_value() == "W-2307"
    page.get_by_role("button", name="Close").click()
    assert page.locator("[data-tick='weigh Soy blend']").is_checked()
    page.reload()
    assert not page.locator("[data-card]").is_visible()


def test_it_is_left_out_of_print_and_without_a_script(browser: "Browser", demo: Path) -> None:
    """The sheet is whole on paper, with its lots, even while the card is open."""
    with visiting(browser, demo.as_uri()) as visit:
        page = opened(visit, f"{SHEET}?count=17")
        to_step(page, "weigh")
        page.locator("[data-card-lot]").fill("W-2307")
        page.emulate_media(media="print")
        assert not page.locator("[data-card]").is_visible()
        assert not page.locator("[data-done-form]").is_visible()
        assert page.locator("[data-lot='waxes/soy-blend']").is_visible()
        assert page.locator("[data-part]").all_text_contents() == ["2934.5", "234.8"]
    context = browser.new_context(java_script_enabled=False)
    plain = context.new_page()
    plain.goto(f"{demo.as_uri()}/{SHEET}")
    for hidden in ("[data-card]", "[data-card-open]", "[data-done-form]", "[data-lot]"):
        assert not plain.locator(hidden).first.is_visible(), hidden
    context.close()


def test_a_count_that_cannot_be_weighed_is_no_tick(folder: Visit) -> None:
    """Without a weight there is nothing to tick, and the card says why."""
    page = opened(folder)
    page.locator("[data-card-number]").fill("x")
    to_step(page, "weigh")
    assert page.locator("[data-card-tick]").is_disabled()
    assert (
        page.locator("[data-card-state]").text_content() == "Write a whole number from 1 to 9999."
    )


def test_a_test_pour_bears_its_mark_and_hands_over_no_batch(folder: Visit) -> None:
    """On every step of the card; what is poured as a test has no form."""
    page = opened(folder, "pour/pine-bowl.html")
    to_step(page, "weigh")
    assert page.locator(".pour-card__mark").inner_text() == "FAILED. TEST POUR"
    assert page.locator("[data-done-form]").count() == 0


def test_the_screen_is_kept_awake_while_it_is_open(folder: Visit) -> None:
    """Where the browser can: asked for once it opens, and let go once it closes."""
    folder.page.add_init_script("""
      window.locks = [];
      Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
        const lock = { held: true, addEventListener() {}, release() { lock.held = false; } };
        window.locks.push(lock);
        return lock;
      } } });
    """)
    page = opened(folder)
    assert page.evaluate("() => window.locks.map((one) => one.held)") == [True]
    page.get_by_role("button", name="Close").click()
    page.wait_for_timeout(100)
    assert page.evaluate("() => window.locks.map((one) => one.held)") == [False]


def filled_in(page: "Page") -> None:
    """Type a batch into the form."""
    page.locator("[data-done-form] fieldset:not([disabled])").first.wait_for()
    form = page.locator("[data-done-form]")
    form.locator("[data-done=on]").fill("2026-04-28")
    form.get_by_role("button", name="Take 17").click()
    form.locator("[data-done=by]").fill("ilse")
    form.locator("[data-done=lots][data-item='waxes/soy-blend']").fill("W-2307")
    form.locator("[data-done=lots][data-item='vessels/amber-tumbler']").fill("AT: 26, 02")
    form.get_by_role("button", name="Take 2934.5 g").click()
    form.locator("[data-done=weighed][data-item='fragrances/cedar-fig-oil']").fill("234.6")
    form.locator("[data-done=net]").fill("183.0 182.4\n6.5 oz")


def handed(page: "Page") -> tuple[str, str]:
    """Save the file; return its name and its text."""
    with page.expect_download() as waiting:
        page.locator("[data-done-form] [data-hand=save]").click()
    return waiting.value.suggested_filename, waiting.value.path().read_text("utf-8")


def test_what_was_done_is_handed_over_as_a_batch(visit: Visit) -> None:
    """The text of the contract, key by key, each value with its unit."""
    visit.open(f"{SHEET}?count=17")
    filled_in(visit.page)
    name, text = handed(visit.page)
    session = text.split("session: ")[1].split("\n")[0].strip('"')
    assert name == f"cedar-fig-batch-2026-04-28-{session[:6]}.txt"
    assert len(session) == 16
    lines = text.split("\n")
    assert lines[:3] == ["---", "handover: 1", "kind: batch"]
    for line in (
        "edition: owner", "recipe: cedar-fig", "on: 2026-04-28", "made: 17", "by: ilse",
        'lots: {waxes/soy-blend: W-2307, vessels/amber-tumbler: "AT: 26, 02"}',
        "weighed: {waxes/soy-blend: 2934.5 g, fragrances/cedar-fig-oil: 234.6 g}",
        "net: [183.0 g, 182.4 g, 6.5 oz]",
    ):  # fmt: skip
        assert line in lines, line
    assert visit.complaints == []


def test_what_is_handed_over_is_taken_as_a_batch(folder: Visit, tmp_path: Path) -> None:
    """From the page to a record that the check finds no fault with, lots and net weights in it."""
    shutil.copytree(ROOT / "records", tmp_path / "records")
    folder.open(f"{SHEET}?count=17")
    filled_in(folder.page)
    lot = folder.page.locator("[data-done=lots][data-item='vessels/amber-tumbler']")
    lot.fill("AT-25-06")
    name, text = handed(folder.page)
    (tmp_path / "inbox").mkdir()
    (tmp_path / "inbox" / name).write_text(text, "utf-8")
    for words in (["take"], ["check"]):
        done = CliRunner().invoke(main, [*words, "--studio", str(tmp_path)])
        assert done.exit_code == 0, done.output
    record = (tmp_path / "records/batches/cedar-fig-2026-04-28.md").read_text("utf-8")
    for line in ("made: 17", "W-2307", "AT-25-06", "2934.5 g", "183.0 g", "6.5 oz"):
        assert line in record, line
    assert (tmp_path / "inbox" / "taken" / name).is_file()


def test_what_is_wrong_is_told_and_nothing_is_handed_over(folder: Visit) -> None:
    """In the words of the check; a batch without a count, a day or a name is none."""
    folder.open(SHEET)
    page = folder.page
    page.locator("[data-done-form] fieldset:not([disabled])").first.wait_for()
    form = page.locator("[data-done-form]")
    for key, typed, says in (
        ("on", "2199-01-01", "lies after"),
        ("made", "0", "Write how many were made"),
        ("made", "17", ""),
        ("by", "", "Write who poured it"),
        ("by", "ilse", ""),
        ("weighed", "12 mL", "volume"),
        ("weighed", "1,5 g", "a comma is not understood"),
        ("weighed", "", ""),
        ("net", "0 g", "A candle weighs more than nothing"),
        ("net", " ".join(["180"] * 18), "More net weights (18) than candles made (17)."),
    ):
        field = form.locator(f"[data-done={key}]").first
        field.fill(typed)
        page.locator("[data-done-form] [data-hand=save]").click()
        around = field.locator("xpath=ancestor::div[contains(@class, 'bench-field')][1]")
        told = around.locator("[data-wrong]").text_content() or ""
        assert (says in told) if says else not told, (key, typed, told)
        assert "Mend this first" in (page.locator("[data-done-handed]").text_content() or "")


def test_a_lot_is_the_same_wherever_it_is_typed(visit: Visit) -> None:
    """In the card or in the form; and it is there after a reload, though the ticks be old."""
    page = opened(visit)
    to_step(page, "weigh")
    page.locator("[data-card-lot]").fill("W-2307")
    page.get_by_role("button", name="Close").click()
    lot = page.locator("[data-done=lots][data-item='waxes/soy-blend']")
    assert lot.input_value() == "W-2307"
    lot.fill("W-2308")
    assert page.locator("[data-lot='waxes/soy-blend']").input_value() == "W-2308"
    page.get_by_text("Kept at").wait_for()
    old = "Object.keys(localStorage).filter((key) => key.startsWith('handbook-pour'))"
    page.evaluate(f"() => {old}.forEach((key) => localStorage.removeItem(key))")
    page.reload()
    page.locator("[data-done-form] fieldset:not([disabled])").first.wait_for()
    assert page.locator("[data-done=lots][data-item='waxes/soy-blend']").input_value() == "W-2308"


def test_throwing_it_away_asks_twice(folder: Visit) -> None:
    """One no is enough to keep it."""
    folder.open(f"{SHEET}?count=17")
    filled_in(folder.page)
    page = folder.page
    made = page.locator("[data-done=made]")
    page.locator("[data-done-form] [data-discard]").click()
    page.get_by_role("button", name="No, keep it").click()
    assert made.input_value() == "17"
    page.locator("[data-done-form] [data-discard]").click()
    page.locator("[data-discard-yes]").click()
    assert made.input_value() == "17"
    page.locator("[data-discard-yes]").click()
    page.get_by_text("Thrown away.").wait_for()
    assert made.input_value() == ""
    page.reload()
    page.locator("[data-done-form] fieldset:not([disabled])").first.wait_for()
    assert made.input_value() == ""
