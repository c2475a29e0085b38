"""While serving, an edit shows at once, and a record at fault leaves the old pages on show."""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from runs import RUN
from synthetic import few_pages, page, write_pages

PATIENCE_S = 20.0
FAULT = "records/burns/a.md:2:5: found BROKEN"


def free_port() -> int:
    """Return a port of this machine that nothing listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def fetch(port: int, path: str) -> str:
    """Return a page as served, or nothing while it is not there."""
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/{path}", timeout=5) as answer:
            return str(answer.read().decode())
    except (urllib.error.URLError, OSError):
        return ""


def wait_for(holds: Callable[[], bool]) -> bool:
    """Return whether `holds` comes true in good time."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.1)
    return False


@pytest.fixture(params=["serve", "mkdocs", "properdocs"])
def served(
    request: pytest.FixtureRequest, studio: Path, tmp_path: Path
) -> Iterator[tuple[int, Path]]:
    """Serve the studio by each tool; return the port and the file of what is printed."""
    port, log = free_port(), tmp_path / "log"
    words = [studio, port] if request.param == "serve" else ["serve", "-a", f"127.0.0.1:{port}"]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1", PYTHONUNBUFFERED="1")
    with log.open("w") as printed:
        command = [sys.executable, RUN, request.param, *map(str, words)]
        process = subprocess.Popen(command, cwd=studio, stdout=printed, stderr=printed, env=env)
    assert wait_for(lambda: "Today" in fetch(port, "")), log.read_text()
    yield port, log
    process.terminate()
    process.wait(timeout=10)


def test_serving(served: tuple[int, Path], studio: Path) -> None:
    """Edit, break, mend: new pages, old pages with the fault on each, new pages again."""
    port, log = served
    write_pages(studio, [*few_pages(), page("vessels/second", "Second jar")])
    assert wait_for(lambda: "Second jar" in fetch(port, "vessels/second.html")), log.read_text()

    broken = studio / "records/burns/a.md"
    broken.write_text("BROKEN")
    write_pages(studio, [*few_pages(), page("vessels/third", "Third jar")])
    assert wait_for(lambda: "records/burns/a.md:2:5: found BROKEN" in log.read_text())
    assert "Second jar" in fetch(port, "vessels/second.html")
    assert fetch(port, "vessels/third.html") == ""
    for path in ("", "approved.html", "vessels/second.html", "guides/hot-wax.html"):
        assert wait_for(lambda at=path: FAULT in fetch(port, at)), path  # type: ignore[misc]
        assert "nothing on it may be taken for approved" in fetch(port, path)

    broken.unlink()
    assert wait_for(lambda: "Third jar" in fetch(port, "vessels/third.html")), log.read_text()
    for path in ("", "approved.html", "vessels/second.html"):
        assert FAULT not in fetch(port, path)
        assert "The last build failed" not in fetch(port, path)
    assert "Traceback" not in log.read_text()


def test_edited_view_shows(served: tuple[int, Path], studio: Path) -> None:
    """The templates of the studio are watched, too."""
    port, log = served
    view = studio / "site_templates/views/plain.html"
    view.write_text(view.read_text() + "<p>one more line</p>")
    assert wait_for(lambda: "one more line" in fetch(port, "index.html")), log.read_text()
