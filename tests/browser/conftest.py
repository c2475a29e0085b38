"""A real browser over a finished site: from a server on this machine, and from the folder."""

import contextlib
import functools
import http.server
import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

import pytest
from demo import built_demo, desk_of_demo
from fonts import COMMON, families_to_try, installed, machine_with
from visits import Visit

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

    from handbook_builder.pages.desk import Desk

PUBLISH_TESTS = Path(__file__).parents[1] / "publish"
sys.path.insert(0, str(PUBLISH_TESTS))
from synthetic import write_studio  # noqa: E402 -- found by the path above

FONTS = installed()
FAMILIES = families_to_try(FONTS)
CHROMIUM = os.environ.get("HANDBOOK_CHROMIUM") or shutil.which("chromium") or "chromium"
ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def built(studio: Path) -> Path:
    """Build a made-up studio in a process of its own; return its site."""
    command = [sys.executable, PUBLISH_TESTS / "run.py", "site", studio, studio / "site"]
    subprocess.run(command, check=True, timeout=120)
    return studio / "site"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the site under test: a few made-up pages."""
    return built(write_studio(tmp_path_factory.mktemp("browser") / "studio"))


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the site of the demo, which nothing may change."""
    return built_demo(tmp_path_factory.mktemp("demo") / "site")


@pytest.fixture(scope="session")
def desk() -> "Desk":
    """Return what the pages of the demo are told from."""
    return desk_of_demo()


class Counting(http.server.SimpleHTTPRequestHandler):
    """Serves a folder, and keeps every address that it was asked for."""

    asked: ClassVar[list[str]] = []

    def log_message(self, *_: object) -> None:
        """Keep the request in silence."""
        self.asked.append(self.path)


@contextlib.contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve a folder on a free port of this machine; yield its address."""
    handler = functools.partial(Counting, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as served:
        threading.Thread(target=served.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{served.server_address[1]}"
        served.shutdown()


@pytest.fixture(scope="module")
def server(site: Path) -> Iterator[str]:
    """Serve the site under test."""
    with serving(site) as address:
        yield address


@pytest.fixture
def stranger(tmp_path: Path) -> Iterator[tuple[str, list[str]]]:
    """Run another host; return its address and the list of what it is asked for."""
    Counting.asked.clear()
    with serving(tmp_path) as address:
        yield address, Counting.asked


@pytest.fixture(scope="session")
def player() -> "Iterator[Playwright]":
    """Return what starts browsers."""
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 -- only when these tests run

    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(player: "Playwright") -> "Iterator[Browser]":
    """Return the browser of this machine."""
    started = player.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
    yield started
    started.close()


@pytest.fixture(scope="module", params=FAMILIES or ["no second family of fonts"])
def family(request: pytest.FixtureRequest) -> str:
    """Return the family of fonts to print with: at least two in turn, or the test fails.

    Which ones, the names of the tests say; which usual ones are not here is told when one fails.
    """
    if not FAMILIES:
        here = ", ".join(FONTS) or "no fonts that fc-list tells of"
        pytest.fail(f"this machine has {here}: install two families (fontconfig, fonts-liberation)")
    missing = ", ".join(one for one in COMMON if one not in FONTS)
    print(f"set in {request.param}; not installed here: {missing or 'none'}")  # noqa: T201
    return str(request.param)


@pytest.fixture(scope="module")
def typesetter(
    family: str, player: "Playwright", tmp_path_factory: pytest.TempPathFactory
) -> "Iterator[Browser]":
    """Return a browser that finds the fonts of one family, as on a machine without any other."""
    written = machine_with(FONTS[family], tmp_path_factory.mktemp("fonts"))
    started = player.chromium.launch(
        executable_path=CHROMIUM,
        args=ARGUMENTS,
        env={**os.environ, "FONTCONFIG_FILE": str(written)},
    )
    yield started
    started.close()


@pytest.fixture(params=["server", "folder"])
def visit(
    request: pytest.FixtureRequest, browser: "Browser", site: Path, server: str
) -> Iterator[Visit]:
    """Return a fresh page over the site, once from the server and once from the folder."""
    root = server if request.param == "server" else site.as_uri()
    with visiting(browser, root) as it:
        yield it


@contextlib.contextmanager
def visiting(browser: "Browser", root: str) -> Iterator[Visit]:
    """Open a fresh page of the browser for the site at `root`."""
    page = browser.new_page()
    page.set_default_timeout(10_000)
    it = Visit(page, root)
    page.on("console", it.noted)
    page.on("pageerror", lambda fault: it.complaints.append(f"exception: {fault}"))
    page.on("request", it.asked)
    yield it
    page.close()


@pytest.fixture
def open_studio(browser: "Browser", tmp_path: Path) -> Callable[..., AbstractContextManager[Visit]]:
    """Return a function that builds a made-up studio of its own and opens it from its folder."""

    @contextlib.contextmanager
    def opened(guide: str = "# A\n", pages: list[dict[str, Any]] | None = None) -> Iterator[Visit]:
        studio = write_studio(tmp_path / "studio", pages)
        (studio / "site_templates/guides/guides/own.md").write_text(guide)
        with visiting(browser, built(studio).as_uri()) as it:
            yield it

    return opened
