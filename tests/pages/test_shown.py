"""How the views show the pages: nothing escapes, nothing else looks approved, no rule is in one."""

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path

import jinja2
import pytest
from jinja2 import nodes

from handbook_builder.pages.page import Page
from tests.pages.conftest import VIEWS, catalogue, shown, told, without_data

MARK = "verdict--good"
OWN_TESTS = "They are not a certification"
OURS = sorted(file.name for file in VIEWS.glob("*.html") if file.name != "_components.html")
# What a template may weigh: whether there is one, none or several of a thing.
COUNTS = {0, 1}


class Outline(HTMLParser):
    """The ids and headings of a page, and whether each tag that was opened was closed."""

    EMPTY = frozenset({"wbr", "br", "hr", "img", "input", "link", "meta", "path", "circle"})

    def __init__(self) -> None:
        """Begin with nothing open."""
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.headings: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag that opens."""
        self.ids += [value for name, value in attrs if name == "id" and value]
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(tag)
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last, which must be this one."""
        if tag not in self.EMPTY:
            assert self.open.pop() == tag


def outline(text: str) -> Outline:
    """Return the outline of a page."""
    found = Outline()
    found.feed(text)
    return found


def test_every_page_of_the_demo_is_shown(pages: dict[str, Page], html: dict[str, str]) -> None:
    """Each page has one first heading, whole markup, ids of its own, and no gap in a sentence."""
    assert len(html) == len(pages) > 100
    for path, text in html.items():
        found = outline(text)
        assert found.open == [], path
        assert found.headings.count("h1") == 1, path
        assert len(found.ids) == len(set(found.ids)), path
        assert not re.search(r">\s*None\s*<|Undefined|&lt;(a|strong|span|time)\b", text), path


def test_nothing_else_wears_the_approved_mark(pages: dict[str, Page], html: dict[str, str]) -> None:
    """Only the approved index, approved products, their sheets, labels and papers show it."""
    idents = {
        page.content.id
        for page in pages.values()
        if page.view == "product" and page.content.is_approved
    }
    allowed = {"approved/index"}
    for ident in idents:
        allowed |= {f"products/{ident}", f"pour/{ident}", f"labels/{ident}"}
        allowed |= {f"papers/{ident}/{kind}" for kind in ("sheet", "proof", "batch-sheet")}
    chart = "papers/pouring"  # which has each of them once
    assert {path for path, text in html.items() if MARK in text} == allowed | {chart}
    assert html[chart].count(MARK) == len(idents)
    assert html["approved/index"].count(MARK) == len(pages["approved/index"].content.rows)
    assert all(html[path].count(MARK) == 1 for path in allowed - {"approved/index"})


def test_pages_about_safety_say_whose_tests_these_are(html: dict[str, str]) -> None:
    """Every product, vessel and test, and every list of them, says it is no certification."""
    rooms = ("products/", "vessels/", "tests/", "approved/", "not-approved/", "reference/limits")
    for path, text in html.items():
        if path.startswith(rooms) or path == "index":
            assert OWN_TESTS in text, path


def test_verdicts_are_words(pages: dict[str, Page], html: dict[str, str]) -> None:
    """The status stands on the page of each product as a word, not as a colour alone."""
    for path, page in pages.items():
        if page.view in ("product", "vessel", "test"):
            assert f"<span>{page.content.word.word}</span></strong>" in html[path], path


def test_the_records_text_is_never_markup(altered: Callable[..., Path]) -> None:
    """A title, a note, an incident and a reason are shown as they are written, and never run."""
    attack = "<script>alert(1)</script>{{ 7 * 7 }}"
    altered("recipes/cedar-fig.md", ('"Cedar and fig, amber tumbler"', f'"{attack}"'))
    altered("burns/cedar-fig-a.md", ('draught from the door in the second hour"', attack + '"'))
    altered("incidents/incident-4.md", ('what: "', f'what: "{attack} '))
    records = altered("vessels/amber-tumbler.md", ("# Amber tumbler", f"# {attack}"))
    for path, text in shown(told(records)).items():
        assert "<script" not in without_data(text), path
        assert "49" not in re.findall(r"alert\(1\)&lt;/script&gt;(\d*)", text), path


@pytest.mark.parametrize("units", ["metric", "us", "both"])
def test_units_are_the_studios(altered: Callable[..., Path], units: str) -> None:
    """Every page can be shown in each choice of units; metric comes first when there are both."""
    html = shown(told(altered("studio.md", ("units: both", f"units: {units}"))))
    vessel = html["vessels/amber-tumbler"].replace("\N{NO-BREAK SPACE}", " ")
    inside = {"metric": "72 mm", "us": "2.83 in (72 mm)", "both": "72 mm (2.83 in)"}
    assert f">{inside[units]}<" in vessel


def compares(template: str) -> Iterator[nodes.Compare]:
    """Yield every comparison in a template."""
    source = (VIEWS / template).read_text("utf-8")
    yield from jinja2.Environment(autoescape=True).parse(source).find_all(nodes.Compare)


@pytest.mark.parametrize("template", OURS)
def test_no_template_weighs_a_figure(template: str) -> None:
    """A view only asks whether there is none, one or several of a thing, or which page this is."""
    for compare in compares(template):
        sides = [compare.expr, *(one.expr for one in compare.ops)]
        constants = [one.value for one in sides if isinstance(one, nodes.Const)]
        ordered = any(one.op not in ("eq", "ne") for one in compare.ops)
        assert not ordered or constants, (template, compare.lineno)
        numbers = {one for one in constants if isinstance(one, int | float)}
        assert numbers <= COUNTS, (template, compare.lineno)


@pytest.mark.parametrize("template", OURS)
def test_no_template_computes(template: str) -> None:
    """A view adds lists together, and no numbers."""
    tree = jinja2.Environment(autoescape=True).parse((VIEWS / template).read_text("utf-8"))
    for kind in (nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow):
        assert list(tree.find_all(kind)) == [], template
    for added in tree.find_all(nodes.Add):
        lists = (nodes.List, nodes.Tuple, nodes.CondExpr, nodes.Add)
        made_one = isinstance(added.right, nodes.Filter) and added.right.name == "list"
        assert made_one or isinstance(added.right, lists), (template, added.lineno)


def test_no_view_names_a_verdict_code() -> None:
    """No view decides by a reason's code or by a status: those are the verdicts' business."""
    codes = re.findall(r"^  (\w+):\n    (?:say|word):", catalogue(), flags=re.MULTILINE)
    assert len(codes) > 60
    for template in OURS:
        source = (VIEWS / template).read_text("utf-8")
        quoted = set(re.findall(r"[\"'](\w+)[\"']", source))
        assert not quoted & {one for one in codes if "_" in one}, template
