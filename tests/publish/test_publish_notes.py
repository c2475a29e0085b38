"""A note shows what was written, and does nothing."""

import time

import pytest

from handbook_builder.publish.notes import NoteReader, Place
from handbook_builder.reading.notes import (
    DEEPEST,
    LONGEST_NOTE,
    MOST_BRACKETS,
    MOST_LINES,
    knots,
)

PLACE = Place(
    page="tests/cedar-fig-a",
    folder="burns",
    pages={"vessels/amber-tumbler", "tests/cedar-fig-b", "products/cedar-fig", "index"},
    photos={"burns/pool.png", "vessels/jar 1.jpg"},
)
READER = NoteReader()


def html(text: str) -> str:
    """Return the note as it stands on the page of a test candle."""
    return READER.html(text, PLACE).strip()


NOTES = {
    "emphasis": ("It *tunnels*.", "<p>It <em>tunnels</em>.</p>"),
    "script": (
        "<script>alert(1)</script>",
        "<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>",
    ),
    "markup": (
        'a <img src=x onerror="alert(1)"> b',
        '<p>a &lt;img src=x onerror="alert(1)"&gt; b</p>',
    ),
    "comment": ("<!-- a -->", "<p>&lt;!-- a --&gt;</p>"),
    "template": (
        "{{ 7 * 7 }} {% raw %}",
        "<p>{{ 7 * 7 }} {% raw %}</p>",
    ),
    "entity": ("&lt;b&gt; &amp; so", "<p>&lt;b&gt; &amp; so</p>"),
    "web link": (
        "[a](https://example.org/x)",
        '<p><a href="https://example.org/x" rel="noopener noreferrer">a</a></p>',
    ),
    "mail link": (
        "[a](mailto:studio@example.org)",
        '<p><a href="mailto:studio@example.org" rel="noopener noreferrer">a</a></p>',
    ),
    "broken link": ("[x](http://[bad)", "<p><span>x</span></p>"),
    "broken picture": ("![x](http://[bad)", '<p><span class="no-photo">x</span></p>'),
    "script link": ("[a](javascript:alert(1))", "<p><span>a</span></p>"),
    "hidden script link": ("[a](java&#115;cript:alert(1))", "<p><span>a</span></p>"),
    "data link": ("[a](data:text/html,x)", "<p><span>a</span></p>"),
    "file link": ("[a](file:///etc/passwd)", "<p><span>a</span></p>"),
    "link without a scheme": ("[a](//example.org/x)", "<p><span>a</span></p>"),
    "link with a backslash": (r"[a](/\\example.org/x)", "<p><span>a</span></p>"),
    "link to a record": (
        "[b](cedar-fig-b.md)",
        '<p><a href="cedar-fig-b.html" rel="noopener noreferrer">b</a></p>',
    ),
    "link to a record of another kind": (
        "[v](../vessels/amber-tumbler.md) [r](../recipes/cedar-fig.md)",
        (
            '<p><a href="../vessels/amber-tumbler.html" rel="noopener noreferrer">v</a> '
            '<a href="../products/cedar-fig.html" rel="noopener noreferrer">r</a></p>'
        ),
    ),
    "link to nothing": ("[a](missing.md)", "<p><span>a</span></p>"),
    "link out of the records": ("[a](../../../secret.md)", "<p><span>a</span></p>"),
    "photo": (
        "![The pool](pool.png)",
        (
            '<p><a class="strip__open" href="../photos/burns/pool.png" rel="noopener noreferrer">'
            '<img alt="The pool" loading="lazy" src="../photos/small/burns/pool.png.jpg"></a></p>'
        ),
    ),
    "photo of another record": (
        "![Jar](../vessels/jar%201.jpg)",
        (
            '<p><a class="strip__open" href="../photos/vessels/jar%201.jpg" '
            'rel="noopener noreferrer">'
            '<img alt="Jar" loading="lazy" src="../photos/small/vessels/jar%201.jpg"></a></p>'
        ),
    ),
    "photo that is missing": ("![Pool](gone.png)", '<p><span class="no-photo">Pool</span></p>'),
    "photo from another host": (
        "![Pool](https://example.org/a.png)",
        '<p><a href="https://example.org/a.png" rel="noopener noreferrer">Pool</a></p>',
    ),
    "photo without a scheme": (
        "![Pool](//example.org/a.png)",
        '<p><span class="no-photo">Pool</span></p>',
    ),
    "headings": ("# One\n\n#### Four", "<h3>One</h3>\n<h6>Four</h6>"),
    "table": (
        "a | b\n--|--:\n1 | 2",
        (
            '<table>\n<thead>\n<tr>\n<th>a</th>\n<th align="right">b</th>\n</tr>\n</thead>\n'
            '<tbody>\n<tr>\n<td>1</td>\n<td align="right">2</td>\n</tr>\n</tbody>\n</table>'
        ),
    ),
    "list": ("- a\n- b", "<ul>\n<li>a</li>\n<li>b</li>\n</ul>"),
    "nothing": ("", ""),
}


@pytest.mark.parametrize("name", NOTES)
def test_note(name: str) -> None:
    """Each kind of writing comes out as it is pinned here."""
    text, expected = NOTES[name]
    assert html(text) == expected


def test_notes_do_not_leak_into_each_other() -> None:
    """A link defined in one note is not known in the next."""
    assert "<a " in html("[a][x]\n\n[x]: https://example.org/")
    assert html("[a][x]") == "<p>[a][x]</p>"


def test_lists_within_lists_without_end() -> None:
    """What is nested deeper than Markdown can go is shown as it stands, and harms nobody."""
    text = "- " * 2000 + "<b>deep</b>"
    shown = html(text)
    assert shown.startswith("<pre>- - -")
    assert "&lt;b&gt;deep&lt;/b&gt;" in shown


def fullest(block: str) -> str:
    """Return the longest note that may be written of blocks with an empty line between them."""
    return ((block + "\n\n") * (LONGEST_NOTE // (len(block) + 2)))[:LONGEST_NOTE]


WORST = {
    **{mark: fullest(mark * (MOST_BRACKETS // mark.count("[")))
       for mark in ("[", "![](", "[](<", "[x][", "![a](b", "[a](b ")},
    **{f"one {mark}": fullest(mark * 1000) for mark in ("<", "*a", "_", "`", "&", "<a ", "(", "]")},
    "one line": fullest("a" * LONGEST_NOTE),
    "lines": fullest("a|b\n" * (MOST_LINES - 1)),
    "quotes": fullest(">" * DEEPEST + " a"),
    "a list in lists": fullest("- " * DEEPEST + "a"),
}  # fmt: skip


@pytest.mark.parametrize("name", WORST)
def test_the_worst_note_within_its_limits_is_shown_in_bounded_time(name: str) -> None:
    """Of a few hundred bytes more each once hung the build for a minute."""
    text = WORST[name]
    assert list(knots(text, 1, "records/burns/a.md")) == []
    began = time.process_time()
    html(text)
    assert time.process_time() - began < 5


@pytest.mark.parametrize("mark", ["[", "![](", "[](<", "[x]["])
def test_a_note_of_brackets_without_end_is_refused_unread(mark: str) -> None:
    """As many as took half a minute, and as many as fit into a record."""
    for length in (5_000, 400_000):
        began = time.process_time()
        told = list(knots(mark * (length // len(mark)), 1, "records/burns/a.md"))
        assert [one.code for one in told] in (["note_brackets"], ["note_too_long"])
        assert time.process_time() - began < 1
