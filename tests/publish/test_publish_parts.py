"""The small parts: links, headings, the text that is searched, the head, the views."""

import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from jinja2 import UndefinedError
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as MkDocsPage

from handbook_builder.pages.page import Page
from handbook_builder.publish import head, links, templates, views
from handbook_builder.publish.headings import anchors, outline
from handbook_builder.publish.reading_order import link_in_order
from handbook_builder.publish.search import plain_text

HOSTILE = "Fig & <img src=x onerror=alert(1)>"


@pytest.mark.parametrize(
    ("here", "there", "expected"),
    [
        ("index", "approved", "approved.html"),
        ("products/a", "index", "../index.html"),
        ("products/a", "products/b", "b.html"),
        ("products/a", "tests/a-b#cycle-3", "../tests/a-b.html#cycle-3"),
        ("a/b/c", "d/e f", "../../d/e%20f.html"),
    ],
)
def test_link(here: str, there: str, expected: str) -> None:
    """A link is relative, so that it works from a folder and under any address."""
    assert links.linker(here, {there.partition("#")[0]})(there) == expected


def test_dead_link_is_refused() -> None:
    """A view that links to a page that is not there is at fault, and the build says so."""
    with pytest.raises(links.DeadLinkError, match="products/gone"):
        links.linker("index", {"index"})("products/gone")


def test_outline_nests_by_level() -> None:
    """Headings with an id make the tree beside the page; tags in them are left out."""
    markup = '<h1 id="a">A <b>b</b></h1><h2 id="c" class="x">C</h2><h3>no id</h3><h2 id="d">D</h2>'
    (top,) = outline(markup)
    assert (top["name"], top["id"], top["level"]) == ("A b", "a", 1)
    assert [child["id"] for child in top["children"]] == ["c", "d"]
    assert anchors(markup) == {"a", "c", "d"}


def test_searched_text_leaves_tables_out() -> None:
    """Sentences are searched, tables, charts and scripts are not; words never run together."""
    markup = (
        "<h1>T</h1><p>One &amp; two</p><p>three</p><table><tr><td>4</td></tr></table>"
        "<svg><title>5</title><text>6</text></svg><script>seven()</script><ul><li>8</li></ul>"
    )
    assert plain_text(markup) == "One & two three 8"


def test_head_is_private_once() -> None:
    """Each line that keeps a page private stands in the head once."""
    page = '<html><head lang="en">\n<meta name="robots" content="noindex"></head></html>'
    made = head.private(page)
    assert made.count('name="robots"') == 1
    assert made.count("Content-Security-Policy") == 1
    assert made.count('name="referrer" content="no-referrer"') == 1
    assert head.private("no page at all") == "no page at all"


@dataclass(frozen=True)
class Content:
    """The content of a made-up page."""

    words: str


def render(folder: Path, view: str, content: object = None, title: str = "T") -> str:
    """Return what a one-line view makes of a content."""
    (folder / "it.html").write_text(view)
    around = views.Surroundings({"index"}, set(), date(2026, 5, 1))
    page = Page("vessels/it", title, "it", content)
    return views.render(views.environment([folder]), page, around)


def test_view_escapes_every_value(tmp_path: Path) -> None:
    """Markup and template signs in a record come out as text."""
    content = Content("<script>alert(1)</script> {{ 7 * 7 }}")
    made = render(tmp_path, "{{ title }}|{{ page.words }}", content, HOSTILE)
    assert made == (
        "Fig &amp; &lt;img src=x onerror=alert(1)&gt;|"
        "&lt;script&gt;alert(1)&lt;/script&gt; {{ 7 * 7 }}"
    )


def test_view_sees_its_surroundings(tmp_path: Path) -> None:
    """A view has the day, its own path, links and the filter for notes."""
    made = render(tmp_path, "{{ as_of }} {{ path }} {{ link('index') }} {{ '*a*' | notes }}")
    assert made == "2026-05-01 vessels/it ../index.html <p><em>a</em></p>"


def test_view_that_misspells_a_name_is_an_error(tmp_path: Path) -> None:
    """A wrong name in a view stops the build; it never becomes an empty text."""
    with pytest.raises(UndefinedError, match="wrods"):
        render(tmp_path, "{{ page.wrods }}", Content("a"))


def test_studio_overrides_file_by_file(tmp_path: Path) -> None:
    """A studio's own template comes first, and the shipped ones serve for the rest."""
    (tmp_path / "site_templates/views").mkdir(parents=True)
    own = tmp_path / "site_templates/views/_components.html"
    own.write_text("own")
    found = templates.files_in(templates.layers(tmp_path, "views"))
    assert found["_components.html"] == own
    shipped = templates.files_in(templates.layers(tmp_path, "theme"))
    assert shipped["assets/find.js"].is_relative_to(templates.shipped())


def test_only_this_room_knows_mkdocs() -> None:
    """The day another generator takes over, one room changes: no other imports this one.

    New records are written from templates as well, and know nothing of pages.
    """
    package = Path(templates.__file__).parents[1]

    def knowing(strangers: str) -> set[str]:
        pattern = re.compile(rf"^\s*(?:from|import) (?:{strangers})\b", re.MULTILINE)
        return {
            path.relative_to(package).parts[0]
            for path in package.rglob("*.py")
            if pattern.search(path.read_text(encoding="utf-8"))
        }

    assert knowing("mkdocs|material") == {"publish"}
    assert knowing("jinja2") == {"publish", "writing"}


def test_guides_are_read_in_the_order_of_their_index(tmp_path: Path) -> None:
    """Each leads to the next; one that it forgot comes last, and only guides do."""
    config = MkDocsConfig()
    config.load_dict(
        {"site_name": "x", "docs_dir": ".", "use_directory_urls": False, "plugins": []}
    )
    config.validate()
    texts = {
        "guides/index.md": "[B](b.md) and [A](a.md#x), [not ours](https://b.example/c.md)",
        "guides/a.md": "", "guides/b.md": "", "guides/zinc.md": "", "products/a.md": "",
    }  # fmt: skip
    for uri, text in texts.items():
        (tmp_path / uri).parent.mkdir(exist_ok=True)
        (tmp_path / uri).write_text(text)
    files = Files([File(uri, str(tmp_path), "site", use_directory_urls=False) for uri in texts])
    pages = {file.src_uri: MkDocsPage(None, file, config) for file in files}
    link_in_order(files)
    on, page = [], pages["guides/index.md"]
    while page.next_page is not None:
        assert page.next_page.previous_page is page
        page = page.next_page
        on.append(page.file.src_uri)
    assert on == ["guides/b.md", "guides/a.md", "guides/zinc.md"]
    assert pages["products/a.md"].next_page is None


def test_no_tick_box_of_the_theme_says_autocomplete() -> None:
    """HTML (WHATWG), 4.10.18.7.1: it is of fields that hold text, and a validator says so."""
    box = '<input class="t" type="checkbox" id="__search" autocomplete="off">'
    page = f'<head></head>{box}<input type="text" autocomplete="off">'
    told = head.private(page)
    assert '<input class="t" type="checkbox" id="__search">' in told
    assert '<input type="text" autocomplete="off">' in told
