"""The papers of the demo in a real browser: alone, without a network, on a phone and on paper."""

import io
import re
import shutil
import subprocess
import sys
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from conftest import Counting, serving
from PIL import Image
from pypdf import PdfReader

from tests.papers.squares import texts_in
from tests.papers.test_pouring import many
from tests.records_in_text import burn, proven, whole_life, write
from tests.search_index import entries_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
SHEETS = ("A4", "Letter")
A4_MM, LETTER_MM = (210.0, 297.0), (215.9, 279.4)  # ISO 216; ANSI/ASME Y14.1, 8.5 x 11 in
LONG = "Cedar wood, dried fig and a trace of green tomato leaf in the amber tumbler of the shed"


def handbook(*words: object, cwd: Path = ROOT) -> None:
    """Run a command as a user would."""
    command = [sys.executable, "-m", "handbook_builder", *map(str, words)]
    subprocess.run(command, cwd=cwd, check=True, timeout=300, capture_output=True)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build both editions of the demo; return the folder of the papers of the owner's."""
    site = tmp_path_factory.mktemp("papers") / "site"
    handbook("build", "--site", site)
    return site


@pytest.fixture
def sheet(browser: "Browser") -> "Iterator[Page]":
    """Return a page of the browser that has no network."""
    context = browser.new_context(offline=True)
    yield context.new_page()
    context.close()


def papers_in(site: Path) -> list[Path]:
    """Return every paper of a site."""
    return sorted((site / "papers").rglob("*.html"))


def printed(page: "Page", form: str) -> PdfReader:
    """Return what the browser prints on a sheet of that form, as the page on show is."""
    return PdfReader(io.BytesIO(page.pdf(format=form)))


def some_papers_in(site: Path) -> list[Path]:
    """Return every paper but for proofs, and of those the longest, the shortest and one between.

    Papers for a class are alike: of each kind the longest.
    """
    papers = list(papers_in(site))
    proofs = sorted(
        (one for one in papers if one.stem == "proof"), key=lambda one: one.stat().st_size
    )
    chosen = {proofs[0], proofs[len(proofs) // 2], proofs[-1]}
    lessons = sorted((one for one in papers if one.stem.startswith("class-")), key=_size)
    chosen |= {lessons[0], lessons[-1], *_longest_of_each(lessons)}
    several = ("proof", "class-sheet", "class-list")
    return [one for one in papers if one.stem not in several or one in chosen]


def _size(paper: Path) -> int:
    return paper.stat().st_size


def _longest_of_each(papers: list[Path]) -> set[Path]:
    """Return the longest of each kind; `papers` are sorted by their size."""
    return set({paper.stem: paper for paper in papers}.values())


def words_of(reader: PdfReader, number: int) -> str:
    """Return the words of one printed page in one line."""
    text = unicodedata.normalize("NFKC", reader.pages[number].extract_text() or "")  # no ligatures
    return " ".join(text.split())


def test_every_paper_prints_on_as_many_pages_as_it_says(sheet: "Page", site: Path) -> None:
    """One where it says one; else every printed page bears its number and their count."""
    seen = set()
    for paper in some_papers_in(site):
        sheet.goto(paper.as_uri())
        text = sheet.locator("article").inner_text()
        for form, size_mm in zip(SHEETS, (A4_MM, LETTER_MM), strict=True):
            pdf = printed(sheet, form)
            count = len(pdf.pages)
            box = pdf.pages[0].mediabox
            size = float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72
            lies = paper.stem == "pouring"  # landscape, whatever the paper is put in as
            assert size == pytest.approx(size_mm[::-1] if lies else size_mm, abs=0.5), (paper, form)
            for number in range(count):
                assert f"Page {number + 1} of {count}" in words_of(pdf, number), (paper, form)
            if paper.stem == "proof":
                assert f"Printed pages: {count}" in words_of(pdf, 0), (paper, form)
            else:
                assert count == 1, (paper, form)
                assert "Prints on 1 page, A4 or Letter" in " ".join(text.split())
        seen.add(paper.stem)
    assert seen == {"care", "sheet", "proof", "notice", "batch-sheet", "burn-sheet", "burn-sheets",
                    "wall", "pouring", "class-sheet", "class-list"}  # fmt: skip


def test_a_proof_of_what_is_not_approved_says_so_in_print(sheet: "Page", site: Path) -> None:
    """On the first printed page, whatever is hidden from others."""
    for paper in papers_in(site):
        if paper.stem == "proof":
            sheet.goto(paper.as_uri())
            first = words_of(printed(sheet, "A4"), 0)
            is_approved = (paper.parent / "care.html").exists()
            assert ("NOT APPROVED" in first) != is_approved, paper
            assert "They are not a certification" in first


def test_every_paper_opens_alone_and_asks_for_nothing(
    sheet: "Page", site: Path, tmp_path: Path
) -> None:
    """Copied out of the site, without a network: one request, for the file itself; no complaint."""
    asked: list[str] = []
    told: list[str] = []
    sheet.on("request", lambda request: asked.append(request.url))
    sheet.on("console", lambda message: told.append(message.text))
    for edition in (site, site.with_name("site-floor")):
        for number, paper in enumerate(papers_in(edition)):
            alone = tmp_path / f"{edition.name}-{number}.html"
            shutil.copy(paper, alone)
            asked.clear()
            sheet.goto(alone.as_uri())
            sheet.emulate_media(media="print")
            sheet.emulate_media(media="screen")
            assert [url for url in asked if not url.startswith("data:")] == [alone.as_uri()], paper
            # Its styles are there without the site: the handbook's serif head, and its paper.
            assert "Palatino" in sheet.locator("h1").evaluate("h => getComputedStyle(h).fontFamily")
    assert told == []


def test_no_search_finds_a_paper(site: Path) -> None:
    """The page of the product is what is looked for; it leads to its papers."""
    found = [entry["location"] for entry in entries_of(site)]
    assert "products/cedar-fig.html" in found
    assert not [one for one in found if one.startswith("papers/")]


def test_from_a_server_a_paper_is_one_request(browser: "Browser", site: Path) -> None:
    """No icon, no style sheet, no font is asked for beside it."""
    Counting.asked.clear()
    with serving(site) as address:
        page = browser.new_page()
        page.goto(f"{address}/papers/cedar-fig/proof.html", wait_until="networkidle")
        page.close()
    assert Counting.asked == ["/papers/cedar-fig/proof.html"]


def card_mm(page: "Page") -> tuple[float, float]:
    """Return how wide and high the card is in print, by what stands in it."""
    page.emulate_media(media="print")
    return tuple(  # type: ignore[return-value]
        side * 25.4 / 96  # CSS: 96 pixels to the inch
        for side in page.locator(".card").evaluate("c => [c.offsetWidth, c.offsetHeight]")
    )


def test_a_card_has_the_size_that_it_states(sheet: "Page", site: Path) -> None:
    """148 x 210 mm, which is A5 (ISO 216)."""
    cards = [paper for paper in papers_in(site) if paper.stem == "care"]
    assert len(cards) == 6
    for card in cards:
        sheet.goto(card.as_uri())
        assert "148 × 210 mm (A5)" in sheet.locator(".paper__how").inner_text()  # noqa: RUF001 -- as printed
        assert card_mm(sheet) == pytest.approx((148, 210), abs=0.3), card


def test_a_long_title_and_a_long_address_still_fit(sheet: "Page", tmp_path: Path) -> None:
    """Three lines of title, three of an address, every quantity in two units."""
    shutil.copytree(ROOT / "records", tmp_path / "records")
    recipe = tmp_path / "records" / "recipes" / "cedar-fig.md"
    text = recipe.read_text("utf-8")
    recipe.write_text(text.replace("Cedar and fig, amber tumbler", LONG), "utf-8")
    studio = tmp_path / "records" / "studio.md"
    text = studio.read_text("utf-8")
    long = "Lantern Shed Studio, " + "a long way down Example Lane, " * 5
    text = re.sub(r'address: ".*"', f'address: "{long.strip()}"', text)
    studio.write_text(text, "utf-8")
    for kind in ("care", "sheet"):
        out = tmp_path / f"{kind}.html"
        words = ("paper", kind, "cedar-fig", "--as-of", "2026-05-01", "--out", out)
        handbook(*words, cwd=tmp_path)
        sheet.goto(out.as_uri())
        for form in SHEETS:
            assert len(printed(sheet, form).pages) == 1, (kind, form)
        if kind == "care":
            assert card_mm(sheet) == pytest.approx((148, 210), abs=0.3)


def write_full(folder: Path, title: str, sender: str, what: str) -> Path:
    """Write a studio whose sheet and notice hold as much as one page is promised for.

    Four oils with two papers each: 7 parts and 8 papers; 7 lines about hazards, of 100 letters:
    22 rows. Six batches out, in two units, and three markets.
    """
    files = {path: text.replace("units: metric", "units: both") for path, text in proven().items()}
    markets = f'markets: [us, eu, gb]\naddress: "{sender}"'
    files["studio.md"] = files["studio.md"].replace("markets: [eu]", markets)
    recipe = files["recipes/fig.md"].replace(
        "{fig-oil: 8 %}", "{fig-oil: 2 %, b: 2 %, c: 2 %, d: 2 %}"
    )
    recipe = recipe.replace("load_basis", "packaging: {lid: 1}\nload_basis")
    files["recipes/fig.md"] = recipe.replace("title: Fig", f'title: "{title}"')
    files["packaging/lid.md"] = "---\nform: lid\n---\n"
    for one in "bcd":
        files[f"fragrances/{one}.md"] = files["fragrances/fig-oil.md"]
    for one in "abc":
        weighed = "{fig-oil: 2.0 g, b: 2.0 g, c: 2.0 g, d: 2.0 g}"
        burned = files[f"burns/fig-{one}.md"].replace("{fig-oil: 8.0 g}", weighed)
        files[f"burns/fig-{one}.md"] = burned
    for day in range(1, 7):
        files[f"batches/fig-2026-04-{day:02}.md"] = (
            f"---\nrecipe: fig\non: 2026-04-{day:02}\nmade: 9\nby: ilse\nlots: {{}}\n"
            "given:\n  - {on: 2026-04-16, to: deli, count: 2, how: sold}\n"
            "  - {on: 2026-04-18, to: deli, count: 3, how: gift}\n---\n"
        )
    files["incidents/one.md"] = (
        f'---\nnumber: 1\non: 2026-04-20\nabout: packaging/lid\nwhat: "{what}"\n---\n'
    )
    write(folder / "records", files)
    return folder


def prose(letters: int) -> str:
    """Return a text of so many letters."""
    return ("Test studio, a long way down Example Lane, " * letters)[: letters - 1] + "."


def write_burning(folder: Path, count: int, *, units: str = "both") -> Path:
    """Write a studio with so many candles to burn, whose names and limits are as long as may be.

    Each has a limit on every reading, on both sides of it, to watch and to fail.
    """
    bounds = {"flame": "mm", "depth": "mm", "wall": "degC", "after_smoke": "s", "room": "degC"}
    limits = "".join(
        f"  - {{measure: {measure}, {side}: {bound} {unit}, source: s, published: no, "
        f"on_breach: {breach}}}\n"
        for measure, unit in bounds.items()
        for side, bound, breach in (("at_most", 24, "watch"), ("at_most", 25, "fail"),
                                    ("at_least", 17, "watch"), ("at_least", 16, "fail"))
    )  # fmt: skip
    files = {path: text for path, text in proven().items() if not path.startswith("burns/")}
    files["studio.md"] = files["studio.md"].replace("units: metric", f"units: {units}")
    files["studio.md"] = files["studio.md"].replace("protocol: default", "protocol: own")
    files["studio.md"] = files["studio.md"].replace("---\n", f'---\naddress: "{prose(270)}"\n', 1)
    files["protocols/own.md"] = f"---\nlimits:\n{limits}---\n"
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("title: Fig", f"title: {LONG}")
    for letter in "ABC"[:count]:
        within = re.sub(r"(depth|flame|wall|after_smoke): \d+", r"\1: 20", whole_life()[0])
        one = burn(letter, cycles=[within], end="", candles=count, more="room: 20 degC\n")
        files[f"burns/cedar-dried-fig-and-tomato-leaf-{letter.lower()}.md"] = one
    write(folder / "records", files)
    entry = f"site_name: A\nplugins:\n  - handbook:\n      address: https://{'b' * 112}\n"
    (folder / "mkdocs.yml").write_text(entry, "utf-8")
    return folder


@pytest.mark.parametrize(("count", "units"), [(1, "both"), (2, "us"), (3, "both"), (3, "us")])
def test_a_burn_sheet_is_one_page_at_its_fullest(
    typesetter: "Browser", tmp_path: Path, count: int, units: str
) -> None:
    """As many rows, limits and letters as there can be, the longest address, in each family."""
    studio = write_burning(tmp_path / "a", count, units=units)
    page = typesetter.new_page()
    assert is_promised(page, studio, "burn-sheet", "fig", "--as-of", "2026-05-01")
    rows = page.locator(".burn-rows tbody tr").count()
    assert rows >= 4 * count
    for form in SHEETS:
        assert len(printed(page, form).pages) == 1, form
    page.close()


@pytest.mark.parametrize(("approved", "letters"), [(6, 80), (12, 94), (15, 60)])
def test_the_pouring_chart_is_as_many_pages_as_it_says(
    typesetter: "Browser", tmp_path: Path, approved: int, letters: int
) -> None:
    """With as many cards as it promises one page of, and long names, in each family."""
    write(tmp_path / "records", many(approved, 30, letters))
    page = typesetter.new_page()
    assert is_promised(page, tmp_path, "pouring", "--as-of", "2026-05-01")
    assert page.locator(".may__card").count() == approved
    for form in SHEETS:
        assert len(printed(page, form).pages) == 1, form
    page.close()


def test_the_boxes_are_large_enough_to_write_in(sheet: "Page", site: Path) -> None:
    """Five millimetres high and nine wide at the least: the ruling of a school book, by memory."""
    for paper in papers_in(site):
        if paper.stem.startswith("burn-sheet"):
            sheet.goto(paper.as_uri())
            sheet.emulate_media(media="print")
            sheet.set_viewport_size({"width": 703, "height": 900})  # 186 mm: A4 in its margins
            boxes = sheet.locator(".burn-rows tbody td")
            for side, least_mm in (("offsetHeight", 5), ("offsetWidth", 9)):
                found = boxes.evaluate_all(f"all => Math.min(...all.map(one => one.{side}))")
                assert found * 25.4 / 96 >= least_mm - 0.3, (paper, side)


@pytest.mark.parametrize("edition", ["site", "site-floor"])
def test_a_printed_square_code_opens_its_page(
    sheet: "Page", site: Path, tmp_path: Path, edition: str
) -> None:
    """Read back by another library from the PDF that the browser prints, at 150 points an inch."""
    place = {"site": "https://bench.example/handbook", "site-floor": "https://bench.example/floor"}
    folder = site.with_name(edition)
    lemon = "lemon-verbena-tumbler"
    expected = {
        f"papers/{lemon}-b/burn-sheet": [f"bench/{lemon}-b"],
        f"papers/{lemon}/burn-sheets": [f"bench/{lemon}-{letter}" for letter in "abc"],
        "papers/cedar-fig/batch-sheet": ["pour/cedar-fig"],
        "pour/cedar-fig": ["pour/cedar-fig"],
        "pour/pine-bowl": ["pour/pine-bowl"],
    }
    for path, pages in expected.items():
        sheet.goto((folder / f"{path}.html").as_uri())
        for form in SHEETS:
            (tmp_path / "p.pdf").write_bytes(sheet.pdf(format=form))
            found = texts_in(picture_of(tmp_path / "p.pdf"))
            assert found == [f"{place[edition]}/{page}.html" for page in pages], (path, form)


def picture_of(pdf: Path) -> Image.Image:
    """Return the first page of a PDF as points, drawn by poppler."""
    if shutil.which("pdftoppm") is None:
        pytest.fail("pdftoppm draws a printed page: install poppler-utils")
    command = ["pdftoppm", "-r", "150", "-png", "-singlefile", pdf, pdf.with_suffix("")]
    subprocess.run(command, check=True, timeout=60)
    return Image.open(pdf.with_suffix(".png")).convert("L")


def test_on_the_screen_a_square_code_is_large_enough(sheet: "Page", site: Path) -> None:
    """Each of its modules is half a millimetre on paper, black on white in the dark, too."""
    sheet.emulate_media(media="screen", color_scheme="dark")
    for path in ("papers/cedar-fig/batch-sheet", "papers/lemon-verbena-tumbler/burn-sheets"):
        sheet.goto((site / f"{path}.html").as_uri())
        for code in sheet.locator(".square__code").all():
            modules = int((code.get_attribute("viewBox") or "").split()[2])
            wide = code.evaluate("one => one.getBoundingClientRect().width") * 25.4 / 96
            assert wide / modules >= 0.5, path
            paint = code.locator("path").evaluate_all(
                "all => all.map(p => getComputedStyle(p).fill)"
            )
            assert paint == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]


def is_promised(sheet: "Page", studio: Path, *words: str) -> bool:
    """Write a paper and open it; return whether it promises to be one page.

    The studio is read as of the day of the call, where nothing else says when: what goes out with
    candles is held to its today.
    """
    out, settings = studio / "paper.html", studio / "mkdocs.yml"
    if not settings.exists():
        entry = f"site_name: A\nplugins:\n  - handbook:\n      as_of: {words[-1]}\n"
        settings.write_text(entry, "utf-8")
    handbook("paper", *words, "--out", out, cwd=studio)
    sheet.goto(out.as_uri())
    text = sheet.locator("article").inner_text()
    assert ("Prints on 1 page" in text) != ("each page says which one it is" in text)
    return "Prints on 1 page" in text


def test_one_page_is_promised_of_no_more_than_fits(sheet: "Page", tmp_path: Path) -> None:
    """At its limit of rows and of letters, 400, a sheet, a card and a notice are one page."""
    studio = write_full(tmp_path / "a", prose(100), prose(300), "It cracked.")
    for kind in ("sheet", "care"):
        assert is_promised(sheet, studio, kind, "fig", "--as-of", "2026-04-19")
        assert [len(printed(sheet, form).pages) for form in SHEETS] == [1, 1], kind
    assert card_mm(sheet) == pytest.approx((148, 210), abs=0.3)
    studio = write_full(tmp_path / "b", prose(30), prose(100), prose(120))
    assert is_promised(sheet, studio, "notice", "1", "--as-of", "2026-05-01")
    assert [len(printed(sheet, form).pages) for form in SHEETS] == [1, 1]


def test_beyond_its_limits_no_paper_promises_one_page(sheet: "Page", tmp_path: Path) -> None:
    """A letter more, or a batch more: its printed pages say how many they are."""
    studio = write_full(tmp_path / "a", prose(101), prose(300), "It cracked.")
    for kind in ("sheet", "care"):
        assert not is_promised(sheet, studio, kind, "fig", "--as-of", "2026-04-19")
    studio = write_full(tmp_path / "d", "Fig", prose(20), prose(20))
    assert is_promised(sheet, studio, "sheet", "fig", "--as-of", "2026-04-19")
    oil = studio / "records" / "fragrances" / "b.md"
    text = oil.read_text("utf-8")
    one, two = "{on: 2025-11-01}", "[{on: 2025-11-01}, {on: 2025-11-02}]"
    oil.write_text(text.replace(f"certificate: {one}", f"certificate: {two}"), "utf-8")
    assert not is_promised(sheet, studio, "sheet", "fig", "--as-of", "2026-04-19")
    studio = write_full(tmp_path / "b", prose(30), prose(100), prose(121))
    assert not is_promised(sheet, studio, "notice", "1", "--as-of", "2026-05-01")
    studio = write_full(tmp_path / "c", "Fig", prose(20), prose(20))
    batch = studio / "records" / "batches" / "fig-2026-04-06.md"
    more = batch.read_text("utf-8").replace("on: 2026-04-06", "on: 2026-04-07")
    batch.with_name("fig-2026-04-07.md").write_text(more, "utf-8")
    assert not is_promised(sheet, studio, "notice", "1", "--as-of", "2026-05-01")


def test_on_a_phone_nothing_hangs_over_the_edge(browser: "Browser", site: Path) -> None:
    """At 390 pixels no paper is wider than the screen; wide tables scroll in their own box."""
    page = browser.new_page(viewport={"width": 390, "height": 800})
    for paper in papers_in(site):
        page.goto(paper.as_uri())
        over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, paper
    page.close()


def test_in_the_dark_a_paper_is_dark_and_printed_it_is_white(sheet: "Page", site: Path) -> None:
    """As the device wishes; on paper always black on white."""
    for name in ("cedar-fig/care", "cedar-fig/sheet", "cedar-fig/proof", "incident-4/notice"):
        sheet.emulate_media(media="screen", color_scheme="dark")
        sheet.goto((site / "papers" / f"{name}.html").as_uri())
        paint = "b => getComputedStyle(b).backgroundColor"
        assert sheet.locator("body").evaluate(paint) == "rgb(27, 25, 21)", name  # --paper, dark
        sheet.emulate_media(media="print", color_scheme="dark")
        assert sheet.locator("body").evaluate(paint) == "rgb(255, 255, 255)", name
