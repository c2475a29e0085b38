"""A finished page taken apart into blocks: what it prints, without what only a screen shows."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Final

from handbook_builder.publish.book.blocks import (
    Block,
    Box,
    Code,
    Fact,
    Facts,
    Item,
    Run,
    Runs,
    Style,
    Table,
    Words,
    plain,
)

_EMPTY: Final = frozenset({"br", "hr", "img", "input", "link", "meta", "source", "wbr", "col"})
_ALONE: Final = frozenset(
    {"article", "aside", "blockquote", "dd", "details", "div", "dl", "dt", "fieldset", "figure",
     "footer", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main", "ol", "p", "pre",
     "section", "table", "ul"}
)  # fmt: skip
# What a page shows on a screen alone, as its print style has it.
_LEFT_OUT: Final = frozenset(
    {"nav", "form", "script", "style", "svg", "figure", "img", "button", "input", "select",
     "textarea", "dialog", "template", "datalist", "label"}
)  # fmt: skip
_UNPRINTED: Final = frozenset(
    {"print-skip", "unseen", "trail", "contents", "filter", "neighbours", "pager", "stale",
     "headerlink", "chip__copy", "entry__more", "own-tests", "skip"}
)  # fmt: skip
_BOXES: Final = frozenset({"caution", "missing", "admonition", "notes", "empty"})
_STYLES: Final = {"h2": Style.SECOND, "h3": Style.THIRD, "h4": Style.FOURTH, "h5": Style.FOURTH,
                  "h6": Style.FOURTH, "caption": Style.THIRD}  # fmt: skip
_CLASSES: Final = {
    "head__lead": Style.LEAD, "head__verdict": Style.LEAD, "head__kicker": Style.NOTE,
    "fact__note": Style.NOTE, "notes__title": Style.NOTE, "caution__title": Style.FOURTH,
    "missing__title": Style.FOURTH, "admonition-title": Style.FOURTH,
}  # fmt: skip
_STRONG: Final = frozenset({"strong", "b", "th"})
_SPACES: Final = re.compile(r"[ \t\r\n]+")


@dataclass
class Node:
    """An element of a page."""

    tag: str
    attrs: dict[str, str] = field(default_factory=dict)
    kids: "list[Node | str]" = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        """Return its classes."""
        return frozenset(self.attrs.get("class", "").split())

    @property
    def is_left_out(self) -> bool:
        """Return whether it is for a screen alone."""
        folded = self.tag == "details" and "disclosure--print" not in self.classes
        return bool(
            self.tag in _LEFT_OUT or self.classes & _UNPRINTED or "hidden" in self.attrs or folded
        )

    def nodes(self) -> "Iterator[Node]":
        """Yield the elements in it that are printed."""
        yield from (kid for kid in self.kids if isinstance(kid, Node) and not kid.is_left_out)

    def all(self, tag: str) -> "Iterator[Node]":
        """Yield every element of a kind below it that is printed."""
        for kid in self.nodes():
            if kid.tag == tag:
                yield kid
            yield from kid.all(tag)


class _Tree(HTMLParser):
    """Builds the elements of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Node("")
        self._open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        node = Node(tag, {name: value or "" for name, value in attrs})
        self._open[-1].kids.append(node)
        if tag not in _EMPTY:
            self._open.append(node)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._open[-1].kids.append(Node(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        depth = next((n for n in range(len(self._open) - 1, 0, -1) if self._open[n].tag == tag), 0)
        if depth:
            del self._open[depth:]

    def handle_data(self, data: str) -> None:
        self._open[-1].kids.append(data)


def article_of(markup: str) -> Node:
    """Return what a finished page says, without the frame around it; empty where it has none."""
    tree = _Tree()
    tree.feed(markup)
    tree.close()
    return next(tree.root.all("article"), Node("article"))


def title_of(article: Node) -> str:
    """Return the heading of a page in plain words."""
    return plain(next((_runs(one) for one in article.all("h1")), ())).strip()


def links_of(article: Node) -> list[str]:
    """Return where the links of a page lead, in their order."""
    return [one.attrs["href"] for one in article.all("a") if "href" in one.attrs]


def blocks_of(node: Node) -> Iterator[Block]:
    """Yield what stands in an element, piece by piece; loose words are a paragraph."""
    loose: list[Node | str] = []
    for kid in node.kids:
        if isinstance(kid, str) or not _stands_alone(kid):
            loose.append(kid)
            continue
        yield from _paragraph(loose)
        loose = []
        if not kid.is_left_out:
            yield from _block(kid)
    yield from _paragraph(loose)


def _stands_alone(node: Node) -> bool:
    return node.tag in _ALONE or any(_stands_alone(kid) for kid in node.nodes())


def _paragraph(loose: Iterable[Node | str], style: Style = Style.BODY) -> Iterator[Block]:
    runs = _runs(Node("", {}, list(loose)))
    if plain(runs).strip():
        yield Words(runs, style)


def _block(node: Node) -> Iterator[Block]:
    """Yield one element that stands for itself."""
    if node.classes & _BOXES or node.tag == "blockquote":
        yield Box(tuple(blocks_of(node)))
    elif node.tag in _STYLES or node.tag == "p":
        yield from _paragraph(node.kids, _style(node))
    else:
        yield from _OTHERS.get(node.tag, blocks_of)(node)


def _style(node: Node) -> Style:
    found = (_CLASSES[name] for name in sorted(node.classes) if name in _CLASSES)
    return next(found, _STYLES.get(node.tag, Style.BODY))


def _list(node: Node, level: int = 0) -> Iterator[Block]:
    """Yield the entries of a list, and those of the lists in them deeper."""
    if "entries" in node.classes:
        yield from (block for entry in node.nodes() for block in _entry(entry))
        return
    for number, entry in enumerate((kid for kid in node.nodes() if kid.tag == "li"), 1):
        mark = f"{number}." if node.tag == "ol" else "\N{BULLET}"
        for block in blocks_of(entry):
            if isinstance(block, Words) and mark:
                yield Item(block.runs, level, mark)
            elif isinstance(block, Words):
                yield Item(block.runs, level, "")
            elif isinstance(block, Item):
                yield Item(block.runs, block.level + level + 1, block.mark)
            else:
                yield block
            mark = ""


def _entry(node: Node) -> Iterator[Block]:
    """Yield an entry of an index, which has a heading of its own."""
    for at, block in enumerate(blocks_of(node)):
        head = block if at == 0 and isinstance(block, Words) else None
        yield block if head is None else Words(head.runs, Style.THIRD)


def _facts(node: Node) -> Iterator[Block]:
    pairs = [(_first(one, "dt"), _first(one, "dd")) for one in node.nodes() if one.tag == "div"]
    facts = (Fact(plain(_runs(dt)).strip(), _runs(dd)) for dt, dd in pairs if dt and dd)
    found = tuple(fact for fact in facts if fact.label)
    if found:
        yield Facts(found)
    for kid in node.nodes():
        if kid.tag in {"dt", "dd"}:
            yield from blocks_of(kid)


def _first(node: Node, tag: str) -> Node | None:
    return next(node.all(tag), None)


def _table(node: Node) -> Iterator[Block]:
    caption = next((_runs(one) for one in node.all("caption")), ())
    rows = [_cells(row) for row in node.all("tr")]
    heads = [_cells(row) for part in node.all("thead") for row in part.all("tr")]
    head = heads[0] if heads else []
    body = rows[len(heads) :]
    if body:
        width = max(map(len, body))
        numeric = tuple(_is_numeric(body, at) for at in range(width))
        told = tuple(tuple(_runs(cell) for cell in row) for row in body)
        yield Table(caption, tuple(_runs(cell) for cell in head), numeric, told)


def _cells(row: Node) -> list[Node]:
    return [cell for cell in row.nodes() if cell.tag in {"td", "th"}]


def _is_numeric(rows: list[list[Node]], at: int) -> bool:
    return all("num" in row[at].classes for row in rows if at < len(row))


def _code(node: Node) -> Iterator[Block]:
    text = "".join(_letters(node)).strip("\n")
    yield Code(tuple(text.split("\n")))


def _letters(node: Node) -> Iterator[str]:
    for kid in node.kids:
        if isinstance(kid, str):
            yield kid
        else:
            yield from _letters(kid)


def _nothing(node: Node) -> Iterator[Block]:
    """Yield nothing: the heading of a page is that of its section."""
    del node
    return iter(())


_OTHERS: Final[dict[str, Callable[[Node], Iterator[Block]]]] = {
    "h1": _nothing, "hr": _nothing, "ul": _list, "ol": _list, "dl": _facts, "table": _table,
    "pre": _code,
}  # fmt: skip


def _runs(node: Node) -> Runs:
    """Return the words in an element, with one space where there were several."""
    runs: list[Run] = []
    for run in _pieces(node, bold=node.tag in _STRONG):
        text = _SPACES.sub(" ", run.text)
        if text.startswith(" ") and (not runs or runs[-1].text.endswith((" ", "\n"))):
            text = text[1:]
        if text:
            runs.append(Run(text, run.bold, run.framed))
    if runs:
        runs[-1] = Run(runs[-1].text.rstrip(" "), runs[-1].bold, runs[-1].framed)
    return tuple(runs)


def _pieces(node: Node, *, bold: bool) -> Iterator[Run]:
    for kid in node.kids:
        if isinstance(kid, str):
            yield Run(kid, bold)
        elif kid.tag == "br":
            yield Run(" ", bold)
        elif kid.is_left_out:
            continue
        elif "verdict" in kid.classes:
            yield Run(" ")
            yield Run(" ".join("".join(_letters_printed(kid)).split()), bold=True, framed=True)
            yield Run(" ")
        else:
            strong = bold or kid.tag in _STRONG or "entry__title" in kid.classes
            apart = kid.tag in _ALONE or "fact__note" in kid.classes
            yield from (Run(" ") for _ in range(apart))
            yield from _pieces(kid, bold=strong)
            yield from (Run(" ") for _ in range(apart))


def _letters_printed(node: Node) -> Iterator[str]:
    for kid in node.kids:
        if isinstance(kid, str):
            yield kid
        elif not kid.is_left_out:
            yield from _letters_printed(kid)
