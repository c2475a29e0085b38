"""What the search is told of a page, and the file that it becomes."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from mkdocs.exceptions import Abort

from handbook_builder.pages.page import Page
from handbook_builder.publish import search_file
from handbook_builder.publish.indexing import Indexing
from handbook_builder.publish.search import (
    Entry,
    told,
    told_by_section,
    told_by_term,
    with_anchors,
)
from handbook_builder.publish.search_words import Finding, finding_of, for_the_floor
from handbook_builder.shipped import templates_folder
from handbook_builder.words import Word, Words
from tests.search_index import entries_of, index_of, places_of

FAILED = Word("Failed", "bad", "One failure counts.")
PRODUCT = """<header class="head"><h1>Fig</h1><p class="head__lead">One failure counts.</p></header>
<div class="missing"><p class="missing__title">What stands in the way</p><ol><li>Candle B failed.
<span class="missing__where"><a href="x">records/burns/fig-b.md:27</a></span></li></ol></div>
<dl class="facts"><div class="fact"><dt>Vessel</dt><dd>Amber tumbler</dd></div></dl>
<h2 id="cost">What one candle costs</h2><p>Seven euros.</p>
<details><summary>How it came about</summary><p>records/fig.md:2 plus freightage</p></details>
<table><thead><tr><th scope="col">Landed cost</th></tr></thead><tr><td>Cotton 2026-05-01</td></tr>
</table>"""
GUIDE = """<h1 id="hot">Hot wax</h1><p>For everyone.</p>
<h2 id="fire">If wax catches fire</h2><p>Put the <b>lid</b> on.</p>
<table><tr><td>class B</td></tr></table>
<h2 id="burns">Burns</h2><p>Cool them.</p>"""
GLOSSARY = (
    "<h1>Glossary</h1><ul><li><strong>Flash point</strong>: vapour burns.</li>\n"
    "<li><p><strong>Flare-up</strong>: the flame leaps.</p></li></ul><p>Edition 1.</p>"
)


def entry_of(markup: str, **content: object) -> Entry:
    """Return what the search is told of a page of a product."""
    page = Page("products/fig", "Fig", "product", SimpleNamespace(**content), 2.0, ("fig",))
    return told("products/fig.html", page, markup, "Product")


def test_an_entry_says_kind_verdict_and_code_and_leads_with_what_is_missing() -> None:
    """The lead is what stands in the way and the facts: no place of a record, no working."""
    entry = entry_of(PRODUCT, word=FAILED, code="ZYCL")
    assert (entry.kind, entry.word, entry.tone, entry.code) == ("Product", "Failed", "bad", "ZYCL")
    assert entry.lead == "Candle B failed. · Vessel: Amber tumbler"
    assert entry.heads == (("cost", "What one candle costs"),)
    assert "records/" not in entry.text
    assert "freightage" not in entry.text


def test_of_tables_columns_and_days_are_known_alone() -> None:
    """Whatever else stands in a table would make each list a hit for all that it lists."""
    words = search_file.words_of(entry_of(PRODUCT, word=FAILED).text)
    assert {"landed", "2026-05-01"} <= set(words)
    assert "cotton" not in words


def test_a_guide_is_known_by_section_with_its_tables() -> None:
    """Each section has an address, a title and a lead of its own."""
    whole = Entry("guides/hot.html", "Hot wax", "Guide")
    first, fire, burns = told_by_section(whole, GUIDE)
    assert (first.location, first.lead) == ("guides/hot.html", "For everyone.")
    assert (fire.location, fire.title) == ("guides/hot.html#fire", "If wax catches fire")
    assert fire.kind == "Guide: Hot wax"
    assert fire.lead == "Put the lid on. class B"
    assert burns.lead == "Cool them."


def test_each_word_of_the_glossary_has_an_address() -> None:
    """The page gets an anchor at each word, and the search an entry that leads there."""
    markup = with_anchors(GLOSSARY)
    assert 'id="flash-point"' in markup
    _, flash, flare = told_by_term(Entry("guides/glossary.html", "Glossary"), markup, "Glossary")
    assert (flash.location, flash.title) == ("guides/glossary.html#flash-point", "Flash point")
    assert flash.lead == "vapour burns."
    assert (flare.location, flare.lead) == ("guides/glossary.html#flare-up", "the flame leaps.")


def test_words_are_plain() -> None:
    """Accents, case and hyphens go, a day stays whole, a per cent sign is a word."""
    found = search_file.words_of(
        "Crème-brûlée, 10\N{NO-BREAK SPACE}% on 2026-05-01: 182.7 g, max_use"
    )
    assert found == [
        "creme", "brulee", "10", "percent", "on", "2026-05-01", "182.7", "g", "max", "use",
    ]  # fmt: skip


def test_the_file_says_where_each_word_stands(tmp_path: Path) -> None:
    """Read back by another reader: words of text, headings and names, over many entries."""
    finding = Finding(pages={"p7#cost": ("what it takes",)}, sections={"cost": ("margin",)})
    entries = [
        Entry(f"p{number}.html", f"Page {number}", text="wax" + " oil" * (number % 50 == 0),
              heads=(("cost", "Costs"),) if number == 7 else ())
        for number in range(400)
    ]  # fmt: skip
    search_file.write(tmp_path, search_file.written(entries, finding, {"bad": "<svg/>"}))
    places = places_of(tmp_path)
    assert set(places["wax"]) == {f"p{number}.html" for number in range(400)}
    assert list(places["oil"]) == [f"p{number}.html" for number in range(0, 400, 50)]
    assert places["margin"] == places["takes"] == {"p7.html": search_file.HEAD}
    assert places["399"] == {"p399.html": search_file.NAME}
    assert set(places["wax"].values()) == {search_file.TEXT}
    assert index_of(tmp_path)["asked"] == [["what it takes", 7, "cost"]]
    assert index_of(tmp_path)["words"].split(",") == sorted(places)


def test_the_shipped_words_are_read_and_kinds_named(tmp_path: Path) -> None:
    """Each kind of page has a name in the words of the handbook."""
    words = Words.load((templates_folder() / "words.yml").read_text("utf-8"))
    index = Indexing(tmp_path, words)
    page = Page("vessels/jar", "Jar", "vessel", SimpleNamespace(word=FAILED))
    index.add("vessels/jar.html", "Jar", "<p>Glass.</p>", page)
    index.add("guides/hot.html", "<b>Hot</b> wax", GUIDE, None)
    index.write(tmp_path, {})
    kinds = [entry["kind"] for entry in entries_of(tmp_path)]
    assert kinds == ["Vessel", "Guide", "Guide: Hot wax", "Guide: Hot wax"]
    views = {path.stem for path in (templates_folder() / "views").glob("[!_]*.html")}
    papers = {one for one in views if one.startswith("paper_")}
    assert words.phrases["pages"]["search"]["kinds"].keys() - {"guide", "glossary"} == (
        views - papers - {"faults"}
    )


def test_a_studio_adds_words_of_its_own(tmp_path: Path) -> None:
    """Its file is added to the shipped one, and what YAML takes for yes or a number is a word."""
    shipped = finding_of(tmp_path)
    own = tmp_path / "site_templates/finding.yml"
    own.parent.mkdir()
    own.write_text("same:\n  - [on, 8]\npages:\n  board/index: [who lights]\n")
    found = finding_of(tmp_path)
    assert found.same == (*shipped.same, ("on", "8"))
    assert found.pages["board/index"] == (*shipped.pages["board/index"], "who lights")
    assert (found.little, found.dated) == (shipped.little, shipped.dated)


def test_the_floor_is_told_no_money_and_no_name(tmp_path: Path) -> None:
    """Of the studio's own words those that are names are left out, and all that are of money."""
    own = tmp_path / "site_templates/finding.yml"
    own.parent.mkdir()
    own.write_text("same: [[fair, Marlene, market]]\npages: {approved/index: [Marlene wants]}\n")
    found = for_the_floor(tmp_path, lambda word: "Marlene" in word)
    assert found.same[-1] == ("fair", "market")
    assert "Marlene wants" not in found.pages["approved/index"]
    assert found.money == ()
    assert finding_of(tmp_path).money


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("same: [jar, vessel]\n", "has 'same' in another form"),
        ("samee: []\npages: {a: b}\n", "has 'samee', 'pages' in another form"),
        ("- jar\n", "has all of it in another form"),
        ("same: [\n", "is no YAML"),
    ],
)
def test_a_file_of_words_that_is_odd_is_named(
    tmp_path: Path, text: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The build stops, and says which file and which key."""
    own = tmp_path / "site_templates/finding.yml"
    own.parent.mkdir()
    own.write_text(text)
    with pytest.raises(Abort):
        finding_of(tmp_path)
    told_so = capsys.readouterr().err
    assert told_so.startswith("site_templates/finding.yml: this file of words for the search")
    assert said in told_so


def test_nothing_is_left_of_the_base_themes_search() -> None:
    """What would style or drive it would do nothing: the field is our own."""
    theme = templates_folder() / "theme"
    for file in theme.rglob("*.*"):
        if file.suffix in {".html", ".css", ".js"}:
            assert "md-search" not in file.read_text("utf-8"), file
