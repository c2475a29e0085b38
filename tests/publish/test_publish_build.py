"""The whole build: by our own command, by plain MkDocs, and by the maintained fork of it."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from runs import leftovers, prints, run_tool
from synthetic import few_pages, page, write_pages, write_studio

from tests.search_index import entries_of, index_of

HOSTILE = "Fig & <img src=x onerror=alert(1)></title><script>alert(2)</script>"
ESCAPED = (
    "Fig &amp; &lt;img src=x onerror=alert(1)&gt;"
    "&lt;/title&gt;&lt;script&gt;alert(2)&lt;/script&gt;"
)
LOUD = re.compile(r"warn|error|deprecat|traceback|not included in the", re.IGNORECASE)


def main_part(markup: str) -> str:
    """Return the content of a page, without the frame of the theme."""
    found = re.search(r"<article.*?</article>", markup, re.DOTALL)
    assert found
    return found.group()


def test_own_build_says_only_where_it_is(studio: Path) -> None:
    """A build without faults names the finished page, and writes every page, guide and photo."""
    done = run_tool("site", studio, studio / "site")
    assert (done.returncode, done.stderr) == (0, "")
    assert [Path(line.partition(": ")[2]).resolve() for line in done.stdout.splitlines()] == [
        studio / "site" / "index.html"
    ]
    written = set(prints(studio / "site"))
    assert {f"{it['path']}.html" for it in few_pages()} <= written
    assert {"guides/hot-wax.html", "photos/burns/pool.png", "404.html"} <= written
    assert "records/pages.json" not in written
    assert "pages.json" not in written


@pytest.mark.parametrize("tool", ["mkdocs", "properdocs"])
def test_plain_build_is_the_same(studio: Path, tool: str) -> None:
    """MkDocs and its fork write the same pages with the same content as our own command."""
    assert run_tool("site", studio, studio / "ours").returncode == 0
    done = run_tool(tool, "build", "--strict", "-f", studio / "mkdocs.yml", cwd=studio)
    assert done.returncode == 0, done.stderr
    assert not LOUD.search(done.stdout + done.stderr), done.stderr
    ours, theirs = studio / "ours", studio / "site"
    assert set(prints(ours)) == set(prints(theirs))
    assert index_of(ours) == index_of(theirs)
    for path in ours.rglob("*.html"):
        other = theirs / path.relative_to(ours)
        assert main_part(path.read_text()) == main_part(other.read_text())
    assert leftovers(theirs) == []


def test_no_build_settings_needed(studio: Path) -> None:
    """A folder with nothing but records (no mkdocs.yml) builds, too."""
    (studio / "mkdocs.yml").unlink()
    done = run_tool("site", studio, studio / "site")
    assert (done.returncode, done.stderr) == (0, "")
    assert (studio / "site/products/cedar-fig.html").is_file()


@pytest.mark.parametrize("tool", ["site", "mkdocs", "properdocs"])
def test_faults_publish_nothing(studio: Path, tool: str) -> None:
    """One broken record: status 1, every fault in order on stderr, the old site untouched."""
    site = studio / "site"
    assert run_tool("site", studio, site).returncode == 0
    old = prints(site)
    for name in ("b", "a"):
        (studio / f"records/burns/{name}.md").write_text("BROKEN")
    words = ["site", studio, site] if tool == "site" else [tool, "build"]
    done = run_tool(*words, cwd=studio)
    assert done.returncode == 1
    assert [line for line in done.stderr.splitlines() if "BROKEN" in line] == [
        "records/burns/a.md:2:5: found BROKEN",
        "records/burns/b.md:2:5: found BROKEN",
    ]
    assert "Traceback" not in done.stderr
    assert prints(site) == old
    assert leftovers(site) == []


def test_fault_of_a_view_publishes_nothing(studio: Path) -> None:
    """An error in a view is loud, and leaves the old site and no draft."""
    site = studio / "site"
    assert run_tool("site", studio, site).returncode == 0
    old = prints(site)
    (studio / "site_templates/views/plain.html").write_text("{{ page.nothing }}")
    done = run_tool("site", studio, site)
    assert done.returncode == 1
    assert "nothing" in done.stderr
    assert prints(site) == old
    assert leftovers(site) == []


def test_strict_build_with_a_warning_publishes_nothing(studio: Path) -> None:
    """A strict build that warns (a guide with a dead link) stops, and the old site stands."""
    assert run_tool("mkdocs", "build", cwd=studio).returncode == 0
    old = prints(studio / "site")
    guide = studio / "site_templates/guides/guides/hot-wax.md"
    guide.write_text("# Hot wax\n\n[gone](gone.md)\n")
    done = run_tool("mkdocs", "build", "--strict", cwd=studio)
    assert done.returncode == 1
    assert prints(studio / "site") == old
    assert leftovers(studio / "site") == []


def test_folder_of_others_is_refused(studio: Path) -> None:
    """A site folder with files of another hand stops the build with a plain sentence."""
    (studio / "site").mkdir()
    (studio / "site/letter.txt").write_text("dear")
    done = run_tool("site", studio, studio / "site")
    assert done.returncode == 1
    assert "did not write" in done.stderr
    assert "Traceback" not in done.stderr
    assert prints(studio / "site").keys() == {"letter.txt"}


class Elements(HTMLParser):
    """Counts what a browser would make of a page."""

    def __init__(self, markup: str) -> None:
        """Read the page."""
        super().__init__()
        self.images: list[str] = []
        self.title = ""
        self._in_title = False
        self.feed(markup)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note images, and the title of the document (a chart has titles, too)."""
        if tag == "img":
            self.images.append(str(dict(attrs).get("src")))
        self._in_title = tag == "title" and not self.title

    def handle_endtag(self, tag: str) -> None:
        """Leave the title."""
        del tag
        self._in_title = False

    def handle_data(self, data: str) -> None:
        """Keep the text of the title."""
        if self._in_title:
            self.title += data


@pytest.mark.parametrize("theme", ["material", "mkdocs"])
def test_title_goes_out_as_text_everywhere(tmp_path: Path, theme: str) -> None:
    """A title with markup in it is text in the head, the heading and the frame, in any theme."""
    pages = [*few_pages(), page("vessels/odd", HOSTILE, words=["odd"])]
    studio = write_studio(tmp_path / "studio", pages)
    config = (studio / "mkdocs.yml").read_text()
    (studio / "mkdocs.yml").write_text(config.replace("name: material", f"name: {theme}"))
    done = run_tool("mkdocs", "build", cwd=studio)
    assert done.returncode == 0, done.stderr
    for path in (studio / "site").rglob("*.html"):
        made = Elements(path.read_text())
        assert "x" not in made.images
        assert "<script>alert(2)" not in path.read_text()
    odd = (studio / "site/vessels/odd.html").read_text()
    assert f"<h1>{ESCAPED}</h1>" in odd
    assert HOSTILE in Elements(odd).title
    assert HOSTILE in [entry["title"] for entry in entries_of(studio / "site")]


def test_every_page_is_private(studio: Path) -> None:
    """No page may be indexed, and none names a file on another host."""
    assert run_tool("site", studio, studio / "site").returncode == 0
    pages = list((studio / "site").rglob("*.html"))
    for path in pages:
        markup = path.read_text()
        assert '<meta name="robots" content="noindex' in markup
        assert "Content-Security-Policy" in markup
        assert not re.search(r"""(?:src|href)=["'](?:https?:)?//""", markup), path
        assert 'rel="edit"' not in markup
    assert len(pages) > len(few_pages())


def test_page_may_take_the_place_of_a_guide(studio: Path) -> None:
    """A generated page wins over a guide of the same path, without a word."""
    guide = studio / "site_templates/guides/approved.md"
    guide.write_text("# Mine\n")
    done = run_tool("mkdocs", "build", "--strict", cwd=studio)
    assert done.returncode == 0, done.stderr
    assert "Approved products" in (studio / "site/approved.html").read_text()


def test_as_of_comes_before_the_settings(studio: Path) -> None:
    """The day of the settings is on the pages."""
    assert run_tool("site", studio, studio / "site").returncode == 0
    assert '<time datetime="2026-05-01">' in (studio / "site/index.html").read_text()


@pytest.mark.parametrize("day", ["2026-02-30", "soon", "12"])
def test_bad_day_is_refused(studio: Path, day: str) -> None:
    """A day that is none is named by MkDocs' own check of the settings."""
    config = (studio / "mkdocs.yml").read_text()
    (studio / "mkdocs.yml").write_text(config.replace("2026-05-01", day))
    done = run_tool("site", studio, studio / "site")
    assert done.returncode == 1
    assert re.search("Expected a date such as|day is out of range", done.stderr)
    assert "Traceback" not in done.stderr


def test_unused_parts_of_the_theme_stay_out(studio: Path) -> None:
    """The base theme's own search, its source maps and the site map are not shipped."""
    assert run_tool("site", studio, studio / "site").returncode == 0
    names = set(prints(studio / "site"))
    assert not [name for name in names if name.endswith(".map") or "lunr" in name]
    assert not any(name.startswith("sitemap") for name in names)


def test_pages_changed_between_builds(studio: Path) -> None:
    """A page that is gone from the records is gone from the site."""
    assert run_tool("site", studio, studio / "site").returncode == 0
    write_pages(studio, [it for it in few_pages() if it["path"] != "vessels/clear-tumbler"])
    assert run_tool("site", studio, studio / "site").returncode == 0
    assert not (studio / "site/vessels/clear-tumbler.html").exists()
