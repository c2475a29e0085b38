"""Pictures of test candles in a real browser: how they open, and what a telephone loads of them."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import serving, visiting
from visits import Visit

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Response

pytestmark = pytest.mark.browser

CANDLE, PRODUCT = "tests/cedar-fig-a.html", "products/cedar-fig.html"
PHONE = {"width": 390, "height": 844}
MOST_BYTES = 300_000
IMAGES = "Array.from(document.querySelectorAll('.strip img'))"


@pytest.fixture(scope="module")
def site(demo: Path) -> Path:
    """Return the site of the demo."""
    return demo


def test_a_picture_opens_over_the_page_and_by_keys(visit: Visit) -> None:
    """By a key and by arrows, with its words; what closes it leaves the reader where they were."""
    page = visit.page
    visit.open(CANDLE)
    first = page.locator("a.strip__open").first
    first.focus()
    page.keyboard.press("Enter")
    box = page.locator("dialog.lightbox")
    assert box.is_visible()
    image = box.locator("img")
    assert str(image.get_attribute("src")).endswith("photos/burns/cedar-fig-a/1.jpg")
    assert "after the first burn" in str(image.get_attribute("alt"))
    assert box.locator(".lightbox__before").is_disabled()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowRight")
    assert "Cycle 2: Drawing" in str(box.locator("p").text_content())
    for _ in range(9):
        page.keyboard.press("ArrowRight")
    assert str(image.get_attribute("src")).endswith("cedar-fig-a/7-top.jpg")
    assert box.locator(".lightbox__after").is_disabled()
    page.wait_for_function("document.querySelector('dialog img').naturalWidth > 900")
    page.keyboard.press("Escape")
    assert not box.is_visible()
    assert first.evaluate("it => it === document.activeElement")
    assert (visit.complaints, visit.strangers()) == ([], [])


def test_a_tap_beside_a_picture_closes_it(visit: Visit) -> None:
    """And so does its button; each strip of a product is turned over by itself."""
    page = visit.page
    visit.open(PRODUCT)
    page.locator("a.strip__open").first.click()
    box = page.locator("dialog.lightbox")
    for _ in range(9):
        page.keyboard.press("ArrowRight")
    assert "Candle C" in str(box.locator("p").text_content())
    page.mouse.click(3, 3)
    assert not box.is_visible()
    page.locator("a.strip__open").last.click()
    box.get_by_text("Close").click()
    assert not box.is_visible()
    assert visit.complaints == []


@pytest.fixture
def plain(browser: "Browser", site: Path) -> Iterator[Visit]:
    """Return a page of a browser that runs no script."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    yield Visit(page, site.as_uri())
    context.close()


def test_without_a_script_it_is_a_link(plain: Visit) -> None:
    """The large size opens by itself, from the folder too."""
    plain.open(CANDLE)
    plain.page.locator("a.strip__open").first.click()
    plain.page.wait_for_url("**/photos/burns/cedar-fig-a/1.jpg")


@pytest.mark.parametrize(
    "path",
    [
        CANDLE,
        PRODUCT,
        "tests/cedar-fig-b.html",
        "compare/cedar-fig.html",
        "papers/cedar-fig/proof.html",
    ],
)
def test_a_telephone_loads_little(browser: "Browser", site: Path, path: str) -> None:
    """With all that comes without a tap or a scroll, and three points for each pixel."""
    if not (site / path).is_file():
        pytest.skip(f"the demo has no {path}")
    found: list[tuple[str, int]] = []

    def weigh(response: "Response") -> None:
        found.append((response.url, len(response.body())))

    context = browser.new_context(viewport=PHONE, device_scale_factor=3, is_mobile=True)  # type: ignore[arg-type]  # as it is typed
    with serving(site) as root:
        page = context.new_page()
        page.on("response", weigh)
        page.goto(f"{root}/{path}", wait_until="networkidle")
        context.close()
    assert not [url for url, _ in found if "/photos/burns/" in url]
    assert sum(size for _, size in found) < MOST_BYTES, sorted(found, key=lambda one: -one[1])[:6]


def test_pictures_are_printed(browser: "Browser", site: Path) -> None:
    """Those that nobody scrolled to as well, on the candle's page and on its proof."""
    with visiting(browser, site.as_uri()) as visit:
        for path in (CANDLE, "papers/cedar-fig/proof.html"):
            visit.open(path)
            visit.page.emulate_media(media="print")
            visit.page.evaluate(f"{IMAGES}.forEach(it => {{ it.loading = 'eager'; }})")
            visit.page.wait_for_function(f"{IMAGES}.every(it => it.naturalWidth > 99)")
            assert visit.page.locator(".strip img").first.is_visible()
            assert len(visit.page.pdf()) > 60_000
