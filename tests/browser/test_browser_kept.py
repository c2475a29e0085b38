"""What a reader left on a page is there when they come back; and no page hides how old it is."""

import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import visiting
from visits import Visit, pages_of

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
SHEET = "pour/lavender-pine.html"
HOUR_MS = 3_600_000

AGED = 'data-as-of="2026-05-01" data-stale-after="3"'


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the demo, as of 2026-05-01; its handbook is stale after 3 days."""
    site = tmp_path_factory.mktemp("kept") / "site"
    command = [sys.executable, "-m", "handbook_builder", "build", "--site", site]
    subprocess.run(command, cwd=ROOT, check=True, timeout=300)
    return site


def state_of(visit: Visit) -> tuple[str, str, str, list[str]]:
    """Return the count, the first weight, the day and the ticks of the sheet on show."""
    page = visit.page
    ticks = page.locator("[data-tick]:checked").evaluate_all("all => all.map(t => t.dataset.tick)")
    return (
        page.locator("[data-pour-count]").input_value(),
        page.locator("[data-part]").first.text_content() or "",
        page.locator("[data-pour-on]").input_value(),
        [str(one) for one in ticks],
    )


def begin(visit: Visit) -> tuple[str, str, str, list[str]]:
    """Open the sheet for 12 candles on another day, with the wax weighed and a step done."""
    visit.open(SHEET)
    visit.page.locator("[data-pour-count]").fill("12")
    visit.page.locator("[data-pour-on]").fill("2026-12-24")
    visit.page.get_by_label("Done: Soy blend").check()
    visit.page.locator(".pour__steps input").first.check()
    visit.page.wait_for_function("() => location.search === '?count=12'")
    begun = state_of(visit)
    # 168.2 g less its oil (8 % of the wax), for 12, with 2 % left in the pitcher: 1907.0 g.
    assert begun == ("12", "1907.0", "2026-12-24", ["weigh Soy blend", "step 1"])
    return begun


def test_a_sheet_is_as_it_was_left(visit: Visit) -> None:
    """After another page and back, after a reload, and by its plain address."""
    begun = begin(visit)
    visit.open("waxes/soy-blend.html")
    visit.page.go_back()
    assert state_of(visit) == begun
    visit.page.reload()
    assert state_of(visit) == begun
    visit.open("index.html")
    visit.open(SHEET)
    assert state_of(visit) == begun
    assert visit.page.locator("[data-pour-kept]").is_visible()
    visit.page.wait_for_function("() => location.search === '?count=12'")
    assert visit.complaints == []


def test_a_dropped_tab_loses_nothing(browser: "Browser", site: Path) -> None:
    """A tab that is closed, and a new one in its place."""
    context = browser.new_context()
    begun = begin(Visit(context.new_page(), site.as_uri()))
    for page in context.pages:
        page.close()
    again = Visit(context.new_page(), site.as_uri())
    again.open(SHEET)
    assert state_of(again) == begun
    context.close()


def test_start_afresh(visit: Visit) -> None:
    """One button: the first count, today, no tick, and nothing comes back."""
    begin(visit)
    visit.page.get_by_role("button", name="Start afresh").click()
    count, weight, on, ticks = state_of(visit)
    assert (count, weight, ticks) == ("1", "158.9", [])
    assert on != "2026-12-24"
    assert not visit.page.locator("[data-pour-kept]").is_visible()
    visit.page.reload()
    assert state_of(visit) == (count, weight, on, ticks)
    assert "count" not in visit.page.url


def test_another_count_takes_back_what_was_weighed(visit: Visit) -> None:
    """The ticks of weights and pieces fall, since they were for another count; a step's stays."""
    begin(visit)
    visit.page.locator("[data-pour-count]").fill("17")
    assert state_of(visit)[3] == ["step 1"]
    visit.open(f"{SHEET}?count=6")
    assert state_of(visit)[0] == "6"
    assert state_of(visit)[3] == []


def test_each_candle_keeps_its_own(visit: Visit) -> None:
    """The sheet of another product, even of the same code, is untouched."""
    begin(visit)
    for other in ("pour/cedar-fig.html", "pour/cedar-fig-gift.html"):
        visit.open(other)
        count, _, _, ticks = state_of(visit)
        assert (count, ticks) == ("1", [])
        visit.page.locator("[data-pour-count]").fill("5")
    visit.open("pour/cedar-fig.html")
    visit.page.get_by_label("Done: Soy blend").check()
    visit.open("pour/cedar-fig-gift.html")
    assert state_of(visit)[3] == []


def test_ticks_of_another_day_are_void(visit: Visit) -> None:
    """Half a day later nothing of it is left: what was ticked then was not weighed now."""
    visit.page.clock.install(time=datetime(2026, 5, 2, 9, 0))  # noqa: DTZ001 -- the reader's day
    begun = begin(visit)
    visit.page.clock.fast_forward(11 * HOUR_MS)
    visit.open(SHEET)
    assert state_of(visit) == begun
    visit.page.clock.fast_forward(2 * HOUR_MS)
    visit.open(SHEET)
    assert (state_of(visit)[0], state_of(visit)[3]) == ("1", [])


def test_without_any_store_the_sheet_still_works(visit: Visit) -> None:
    """A browser that refuses every store: the address alone keeps the count."""
    visit.page.add_init_script(
        "for (const name of ['localStorage', 'sessionStorage']) Object.defineProperty(window, name,"
        " {get() { throw new DOMException('no', 'SecurityError'); }});"
    )
    visit.open(SHEET)
    visit.page.locator("[data-pour-count]").fill("12")
    assert state_of(visit)[1] == "1907.0"
    visit.page.wait_for_function("() => location.search === '?count=12'")
    visit.page.reload()
    assert state_of(visit)[:2] == ("12", "1907.0")


def test_the_count_of_a_product_and_its_sheet_are_one(visit: Visit) -> None:
    """The page of the product shows the count that is kept, and takes no tick away."""
    begun = begin(visit)
    visit.open("products/lavender-pine.html")
    assert visit.page.locator("[data-pour-count]").input_value() == "12"
    visit.open(SHEET)
    assert state_of(visit) == begun


def test_the_filter_of_the_approved_index_comes_back(visit: Visit) -> None:
    """What was typed and chosen narrows the list again, after a product and after a reload."""
    visit.open("approved/index.html")
    field = visit.page.get_by_label("Words", exact=True)
    field.fill("cedar")
    said = visit.page.locator("[data-filter-count]")
    assert said.text_content() == "2 of 6 shown."
    visit.page.get_by_role("link", name="Cedar and fig, amber tumbler", exact=True).click()
    visit.page.wait_for_url("**/products/cedar-fig.html")
    visit.page.go_back()
    assert field.input_value() == "cedar"
    assert said.text_content() == "2 of 6 shown."
    visit.page.reload()
    assert field.input_value() == "cedar"
    assert said.text_content() == "2 of 6 shown."


@pytest.fixture
def at_day(browser: "Browser", site: Path) -> Iterator[Visit]:
    """Open the demo from its folder, with a clock that a test sets."""
    with visiting(browser, site.as_uri()) as it:
        yield it


def aged(visit: Visit, path: str, day: datetime) -> str:
    """Return what a page says of its age to a reader on that day, or nothing."""
    visit.page.clock.set_fixed_time(day)
    visit.open(path)
    line = visit.page.locator("[data-stale-after]")
    return line.inner_text().strip() if line.is_visible() else ""


@pytest.mark.parametrize(
    ("day", "days"),
    [
        (datetime(2026, 4, 30, 12), None),  # noqa: DTZ001 -- a reader's own day
        (datetime(2026, 5, 1, 23, 59), None),  # noqa: DTZ001
        (datetime(2026, 5, 4, 23, 59), None),  # noqa: DTZ001 -- three days: as old as it may be
        (datetime(2026, 5, 5, 0, 1), 4),  # noqa: DTZ001
        (datetime(2026, 11, 25, 10), 208),  # noqa: DTZ001
    ],
)
def test_a_page_says_when_it_is_too_old(at_day: Visit, day: datetime, days: int | None) -> None:
    """From 2026-05-01 to 2026-11-25 it is 30 + 30 + 31 + 31 + 30 + 31 + 25 = 208 days."""
    said = aged(at_day, SHEET, day)
    if days is None:
        assert said == ""
    else:
        assert said == (
            f"This page knows nothing after 2026-05-01 ({days} days). Build anew before you pour."
        )


def test_every_page_says_so_on_screen_and_in_print(at_day: Visit, site: Path) -> None:
    """Whatever page is opened, a guide too; and what is printed says it as well."""
    late = datetime(2026, 11, 25, 10)  # noqa: DTZ001 -- a reader's own day
    paths = ["index.html", "approved/index.html", "products/cedar-fig.html", SHEET,
             "vessels/amber-tumbler.html", "guides/pouring-a-batch.html", "board/index.html",
             "reference/limits.html", "money/index.html"]  # fmt: skip
    for path in paths:
        assert "208 days" in aged(at_day, path, late), path
        at_day.page.emulate_media(media="print")
        assert at_day.page.locator("[data-stale-after]").is_visible(), path
        at_day.page.emulate_media(media="null")
    for path in pages_of(site):
        text = (site / path).read_text("utf-8")
        # A paper leaves the studio, and runs no script: it bears its day alone.
        told = "2026-05-01" if path.startswith("papers/") else AGED
        assert told in text, path
