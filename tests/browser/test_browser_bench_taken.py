"""From the field to the record and back: what was handed over is taken, and let go only then."""

import subprocess
import sys
from pathlib import Path
from shutil import copytree
from typing import TYPE_CHECKING, Final

import pytest
from conftest import serving
from test_browser_bench import CANDLES, ONE, READ, WRITTEN, kept, ready, saved, type_in, values_in
from visits import Visit

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).resolve().parents[2]
DAY: Final = "2026-05-03"  # the day after what the demo has on file of it, and one more
HANDBOOK: Final = (sys.executable, "-m", "handbook_builder")


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a copy of the demo, whose site is built."""
    for name in ("records", "site_templates"):
        copytree(ROOT / name, tmp_path / name)
    (tmp_path / "mkdocs.yml").write_bytes((ROOT / "mkdocs.yml").read_bytes())
    build(tmp_path)
    return tmp_path


def build(studio: Path) -> None:
    """Build the site of a studio."""
    command = [*HANDBOOK, "build", "--edition", "owner", "--site", studio / "site"]
    subprocess.run(command, cwd=studio, check=True, timeout=300, capture_output=True)


def take(studio: Path, name: str, text: str) -> "subprocess.CompletedProcess[str]":
    """Lay a file into the inbox and take it."""
    (studio / "inbox").mkdir(exist_ok=True)
    (studio / "inbox" / name).write_text(text, "utf-8")
    command = [*HANDBOOK, "take", "--as-of", "2026-12-01", "inbox"]
    return subprocess.run(command, cwd=studio, timeout=120, capture_output=True, text=True,
                          check=False)  # fmt: skip


@pytest.fixture
def opened(browser: "Browser", studio: Path) -> "Iterator[Callable[[str], Page]]":
    """Return what opens a page of the studio, each time in the same browser."""
    context = browser.new_context()
    with serving(studio / "site") as address:
        visit = Visit(context.new_page(), address)
        yield lambda path=ONE: ready(visit, path)
    context.close()


def note(page: "Page") -> str:
    """Return what is said at the top of the sheet."""
    return page.locator("[data-note]").text_content() or ""


def test_taken_is_let_go_and_not_before(studio: Path, opened: "Callable[..., Page]") -> None:
    """Kept while it is only handed over; off the device once the record shows it; then afresh."""
    page = opened()
    type_in(page, day=DAY)
    name, text = saved(page)
    build(studio)
    assert values_in(opened())["before"] == READ["before"]
    done = take(studio, name, text)
    assert done.returncode == 0, done.stdout + done.stderr
    build(studio)
    page = opened()
    assert "1 cycle taken" in note(page)
    assert values_in(page) == {}
    assert page.locator("[data-cycle]").text_content() == "Cycle 9"
    assert page.locator("[data-take]:visible").text_content() == "Take 254.1 g"
    assert values_in(opened()) == {}


def test_what_is_taken_is_what_log_writes(studio: Path, opened: "Callable[..., Page]") -> None:
    """Typed on the page and taken, or given to the command: the same record, byte for byte."""
    record = studio / "records" / "burns" / f"{CANDLES[0]}.md"
    before = record.read_bytes()
    page = opened()
    type_in(page, day=DAY)
    done = take(studio, *saved(page))
    assert done.returncode == 0, done.stdout + done.stderr
    taken = record.read_bytes()
    assert taken != before
    record.write_bytes(before)
    readings = {**WRITTEN, "on": f"{DAY} 09:30"}
    options = [f"--{key.replace('_', '-')}={text}" for key, text in readings.items()
               if isinstance(text, str)]  # fmt: skip
    options += [f"--seen={word}" for word in ("mushrooming", "frosting")]
    options += ["--check=1 h=41 mm", "--check=3 h=60 mm"]
    command = [*HANDBOOK, "log", CANDLES[0], "--as-of", "2026-12-01", "--as-read", *options]
    subprocess.run(command, cwd=studio, check=True, timeout=120, capture_output=True)
    assert record.read_bytes() == taken


def test_the_next_cycle_after_one_was_taken(studio: Path, opened: "Callable[..., Page]") -> None:
    """One cycle of the file is taken, another follows on the page: the same file adds the rest."""
    page = opened()
    type_in(page, day=DAY)
    assert take(studio, *saved(page)).returncode == 0
    page.locator("[data-next]").click()
    page.locator("[data-key=day]").fill("2026-05-04")
    page.locator("[data-key=before]").fill("254.1")
    page.locator("[data-key=after]").fill("235")
    kept(page)
    build(studio)
    page = opened()
    assert "1 of 2" in note(page)
    done = take(studio, *saved(page))
    assert done.returncode == 0, done.stdout + done.stderr
    build(studio)
    page = opened()
    assert "2 cycles taken" in note(page)
    assert values_in(page) == {}


def test_a_record_that_changed_otherwise(studio: Path, opened: "Callable[..., Page]") -> None:
    """Another cycle was written meanwhile: it is said, all is kept, and the file can be saved."""
    page = opened()
    type_in(page, day=DAY)
    command = [*HANDBOOK, "log", CANDLES[0], "--on", "2026-04-30", "--burned", "4 h", "--before",
               "270.7 g", "--after", "252 g", "--as-read"]  # fmt: skip
    subprocess.run(command, cwd=studio, check=True, timeout=120, capture_output=True)
    build(studio)
    page = opened()
    assert "has changed since you began" in note(page)
    assert values_in(page)["before"] == READ["before"]
    done = take(studio, *saved(page))
    assert done.returncode != 0
    assert len(list((studio / "inbox").glob("*.txt"))) == 1


def test_a_candle_that_ended_elsewhere_is_still_reached(
    studio: Path, opened: "Callable[..., Page]"
) -> None:
    """Its page takes no more: what was typed stands on the page of several, to save or discard."""
    page = opened()
    type_in(page, day=DAY)
    command = [*HANDBOOK, "log", CANDLES[0], "--end", "stopped", "--why", "it was dropped",
               "--left", "5 g", "--vessel-state", "sound", "--tilt", "untried"]  # fmt: skip
    subprocess.run(command, cwd=studio, check=True, timeout=120, capture_output=True)
    build(studio)
    page = opened("bench/index.html")
    other = page.locator("[data-bench-others] article")
    assert other.locator("[data-key=before]").input_value() == READ["before"]
    assert not other.locator("[data-lacking]").is_visible()
    assert saved(page, other)[1].startswith("---\nhandover: 1\n")
    assert "has changed since you began" in (other.locator("[data-note]").text_content() or "")


def test_an_incident_from_a_page(studio: Path, opened: "Callable[..., Page]") -> None:
    """The foot of a page leads to the form, which knows what it is about, and keeps it all."""
    page = opened()
    page.goto(page.url.replace(ONE, "vessels/amber-tumbler.html"))
    page.get_by_role("link", name="Something is wrong with this").click()
    page.wait_for_selector("body[data-bench-ready]")
    assert page.locator("[data-key=about]").input_value() == "vessels/amber-tumbler"
    page.locator("[data-key=what]").fill("A hairline crack: seen in raking light")
    page.locator("[data-key=on]").fill("2026-04-30")
    kept(page)
    page.reload()
    page.wait_for_selector("body[data-bench-ready]")
    name, text = saved(page)
    assert name.startswith("incident-")
    said = page.locator("[data-handed]").text_content() or ""
    assert said.endswith("It stays here until you throw it away.")
    assert 'what: "A hairline crack: seen in raking light"\n' in text
    done = take(studio, name, text)
    assert done.returncode == 0, done.stdout + done.stderr
    assert any("hairline" in one.read_text("utf-8")
               for one in (studio / "records/incidents").glob("*.md"))  # fmt: skip
