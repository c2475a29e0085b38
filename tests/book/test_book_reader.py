"""A finished page taken apart: all that prints, once, and nothing that only a screen shows."""

from handbook_builder.publish.book.blocks import (
    Box,
    Code,
    Facts,
    Item,
    Run,
    Style,
    Table,
    Words,
    plain,
)
from handbook_builder.publish.book.reader import article_of, blocks_of, links_of, title_of

PAGE = """<html><body><nav>Rooms</nav><article class="leaf">
<nav class="trail">You are here</nav>
<header class="head"><h1>Cedar &amp; fig</h1>
<p class="head__verdict">
<strong class="verdict verdict--bad"><svg><path d="M0"/></svg><span>Failed</span></strong>
 <span class="chip"><code>ABCD-EFGH-JKLM</code></span></p></header>
<p class="print-skip">Only on a screen</p>
<p>One <b>two</b>,<br>three <em>four</em>.</p>
<dl class="facts"><div class="fact"><dt>Net</dt><dd><span class="fact__value">100 g</span>
 <span class="fact__note">as stated</span></dd></div></dl>
<div class="caution"><p class="caution__title">Hot</p>
<ul><li>Wax <ul><li>burns</li></ul></li></ul></div>
<table class="data"><caption class="unseen">Lots</caption>
<thead><tr><th>Lot</th><th class="num">Count</th></tr></thead>
<tbody><tr><th>A-1</th>
<td class="num"><span aria-hidden="true">\u2013</span><span class="unseen">nothing</span></td>
</tr></tbody></table>
<ol><li>First</li><li><p>Second</p><p>and more</p></li></ol>
<pre><code>a: 1
  b: 2
</code></pre>
<details class="disclosure"><summary>How</summary>It came about</details>
<details class="disclosure disclosure--print"><p>Printed</p></details>
<form><input>Count</form><p hidden>Gone</p><a href="x.html">Link</a> loose words
</article><footer>Foot</footer></body></html>"""
# What of it is printed, in reading order: written down by hand from the page above.
EXPECTED = (
    "Failed ABCD-EFGH-JKLM | One two, three four. | Net 100 g as stated | Hot | Wax | burns | "
    "Lot Count A-1 \u2013 | First | Second | and more | a: 1   b: 2 | Printed | Link loose words"
)


def told(blocks: object) -> list[str]:
    """Return the words of each block, those of a box one by one."""
    said: list[str] = []
    for block in blocks:  # type: ignore[attr-defined]
        match block:
            case Words() | Item():
                said.append(plain(block.runs))
            case Box():
                said.extend(told(block.blocks))
            case Facts():
                said.extend(f"{one.label} {plain(one.runs)}" for one in block.facts)
            case Table():
                rows = (block.head, *block.rows)
                said.append(" ".join(plain(cell) for row in rows for cell in row))
            case Code():
                said.append(" ".join(block.lines))
    return said


def test_all_that_prints_is_there_once_and_nothing_else() -> None:
    """In the order of the page; the heading is that of the section."""
    article = article_of(PAGE)
    assert title_of(article) == "Cedar & fig"
    assert " | ".join(told(blocks_of(article))) == EXPECTED


def test_a_verdict_is_framed_and_what_is_strong_is_bold() -> None:
    """Without colour a verdict is known by its frame."""
    verdict, paragraph = list(blocks_of(article_of(PAGE)))[:2]
    assert isinstance(verdict, Words)
    assert isinstance(paragraph, Words)
    assert verdict.style is Style.LEAD
    assert Run("Failed", bold=True, framed=True) in verdict.runs
    assert Run("two", bold=True) in paragraph.runs


def test_lists_keep_their_marks_and_levels() -> None:
    """What goes on within an entry has no mark of its own."""
    items = [one for one in blocks_of(article_of(PAGE)) if isinstance(one, Item)]
    assert [(one.mark, one.level) for one in items] == [("1.", 0), ("2.", 0), ("", 0)]
    box = next(one for one in blocks_of(article_of(PAGE)) if isinstance(one, Box))
    assert [one.level for one in box.blocks if isinstance(one, Item)] == [0, 1]


def test_columns_of_numbers_are_known() -> None:
    """They are set to the right."""
    table = next(one for one in blocks_of(article_of(PAGE)) if isinstance(one, Table))
    assert table.numeric == (False, True)
    assert table.caption == ()


def test_a_page_without_an_article_says_nothing() -> None:
    """A page of another tool may have none."""
    assert list(blocks_of(article_of("<p>x</p>"))) == []
    assert links_of(article_of(PAGE)) == ["x.html"]
