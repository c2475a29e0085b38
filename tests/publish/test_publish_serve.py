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

from tests.records_in_text import proven, write

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


SETTINGS = """site_name: Test studio
docs_dir: docs
theme: {name: material}
plugins:
  - search
  - handbook: {as_of: 2026-05-01}
"""


@pytest.fixture(params=["handbook_builder", "mkdocs"])
def proven_and_served(
    request: pytest.FixtureRequest, tmp_path: Path
) -> Iterator[tuple[int, Path, Path]]:
    """Serve a studio of records by each program; return port, records, and what is printed."""
    records, port, log = tmp_path / "records", free_port(), tmp_path / "log"
    write(records, proven())
    write(tmp_path, {"mkdocs.yml": SETTINGS, "docs/own/index.md": "# Our own\n"})
    words = {"handbook_builder": ["serve", "--port", str(port)],
             "mkdocs": ["serve", "-a", f"127.0.0.1:{port}"]}[request.param]  # fmt: skip
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1", PYTHONUNBUFFERED="1")
    with log.open("w") as printed:
        process = subprocess.Popen([sys.executable, "-m", request.param, *words], cwd=tmp_path,
                                   stdout=printed, stderr=printed, env=env)  # fmt: skip
    assert wait_for(lambda: "Approved" in fetch(port, "products/fig.html")), log.read_text()
    yield port, records, log
    process.terminate()
    process.wait(timeout=10)


def test_a_record_at_fault_is_told_by_its_line_on_every_page(
    proven_and_served: tuple[int, Path, Path],
) -> None:
    """What is still shown as approved says that it may not be; once mended, nothing is left."""
    port, records, log = proven_and_served
    record = records / "burns/fig-c.md"
    sound = record.read_text("utf-8")
    record.write_text(sound.replace("scale: 0.1 g", "scale: 0.1"), "utf-8")
    line = next(at for at, one in enumerate(sound.splitlines(), 1) if one.startswith("scale:"))
    told = f"records/burns/fig-c.md:{line}:8: "
    for path in ("", "approved/index.html", "products/fig.html", "pour/fig.html",
                 "board/index.html", "guides/start-here.html", "own/index.html"):  # fmt: skip
        assert wait_for(lambda at=path: told in fetch(port, at)), path  # type: ignore[misc]
        assert "nothing on it may be taken for approved" in fetch(port, path), path
    record.write_text(sound, "utf-8")
    for path in ("", "products/fig.html", "pour/fig.html"):
        assert wait_for(lambda at=path: told not in fetch(port, at)), path  # type: ignore[misc]
        assert "may be taken for approved" not in fetch(port, path), path
    assert "Traceback" not in log.read_text()
