"""The demo studio's handbook is the same, whichever of the three tools builds it."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from runs import leftovers, prints

ROOT = Path(__file__).resolve().parents[2]
LOUD = re.compile(r"warn|error|deprecat|traceback|not included in the", re.IGNORECASE)


def build(site: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run one tool over the demo, as a user would."""
    command = [sys.executable, "-m", *words, str(site)]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1")
    return subprocess.run(
        command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=300, check=False
    )


@pytest.fixture(scope="module")
def ours(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo's site, built by our own command, which has nothing to say."""
    site = tmp_path_factory.mktemp("ours") / "site"
    done = build(site, "handbook_builder", "build", "--site")
    assert (done.returncode, done.stderr) == (0, "")
    return site


def content(page: Path) -> str:
    """Return the content of a page, without the frame of the theme."""
    found = re.search(r"<article.*?</article>", page.read_text(encoding="utf-8"), re.DOTALL)
    assert found, page
    return found.group()


@pytest.mark.parametrize("tool", ["mkdocs", "properdocs"])
def test_demo_by_other_tools(ours: Path, tmp_path: Path, tool: str) -> None:
    """MkDocs and its maintained fork write the same pages, without a word of warning."""
    site = tmp_path / "site"
    done = build(site, tool, "build", "--config-file", "mkdocs.yml", "--site-dir")
    assert done.returncode == 0, done.stderr
    assert not LOUD.search(done.stdout + done.stderr), done.stderr
    assert set(prints(site)) == set(prints(ours))
    for page in ours.rglob("*.html"):
        assert content(page) == content(site / page.relative_to(ours))
    assert leftovers(site) == []


def test_same_records_same_site(ours: Path, tmp_path: Path) -> None:
    """Built again from the same records as of the same day, the site is the same to the byte."""
    assert build(tmp_path / "site", "handbook_builder", "build", "--site").returncode == 0
    assert prints(tmp_path / "site") == prints(ours)


def test_no_link_of_the_demo_is_dead(ours: Path) -> None:
    """Every link between pages leads to a file of the site, and to a place that is there."""
    ids = {page: set(re.findall(r'\bid="([^"]+)"', page.read_text())) for page in pages(ours)}
    dead = []
    for page in ids:
        for href in re.findall(r'<a\b[^>]*?\bhref="([^"]+)"', page.read_text()):
            if re.match(r"[a-z]+:", href) or page.name == "404.html":
                continue
            path, _, fragment = href.partition("#")
            path = path.partition("?")[0]  # what a form is opened with
            target = (page.parent / path).resolve() if path else page
            if not target.is_file() or (fragment and fragment not in ids.get(target, {fragment})):
                dead.append((page.relative_to(ours.resolve()).as_posix(), href))
    assert dead == []


def pages(site: Path) -> list[Path]:
    """Return the pages of a site."""
    return sorted(site.resolve().rglob("*.html"))
