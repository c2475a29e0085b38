"""Papers for a class: a sheet for pupils, and a list of what to put out for them.

What pupils pour was never burned in a test. Neither paper bears a code or the mark of an approved
product, whatever the recipe is.
"""

from dataclasses import dataclass
from datetime import date
from typing import Final

from handbook_builder.derived.pour import pour_of
from handbook_builder.figures.pour import weighed
from handbook_builder.pages.desk import Desk, name_of
from handbook_builder.pages.page import Page
from handbook_builder.pages.papers.which import Kind, pages_told, path_of, sender_of
from handbook_builder.verdicts.approval import Product

_MOST_ROWS: Final = 24
_OF_MIX: Final = (("waxes", "wax"), ("fragrances", "oil"), ("colorants", "colorant"))


@dataclass(frozen=True, slots=True)
class PutOut:
    """One thing to put out: for one pupil (None where all share it), and for all of them."""

    name: str
    each: str | None
    all: str


@dataclass(frozen=True, slots=True)
class ClassPaper:
    """What either paper shows; the sheet has no list, and the list no lines for home."""

    kicker: str
    studio: str
    sender: str
    unproven: str
    lead: str
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    pupils: int
    rows: tuple[PutOut, ...]
    note: str
    as_of: date
    one_page: str
    own_tests: str

    @property
    def code(self) -> str:
        """Return no code: it is the code of what was proven, and this was not."""
        return ""


def page_of_class_sheet(desk: Desk, product: Product) -> Page:
    """Return the sheet for pupils: hot wax in short, and what to do at home."""
    parts = ("hot_wax", "burned", "home")
    return _page(desk, product, Kind.CLASS_SHEET, parts, ())


def page_of_class_list(desk: Desk, product: Product) -> Page:
    """Return what to put out for as many pupils as the desk was asked for."""
    return _page(desk, product, Kind.CLASS_LIST, ("room", "teach"), _rows(desk, product))


def _page(
    desk: Desk, product: Product, kind: Kind, parts: tuple[str, ...], rows: tuple[PutOut, ...]
) -> Page:
    said = desk.words.phrases["pages"]["papers"]["lesson"]
    content = ClassPaper(
        kicker=desk.phrase(f"papers.kinds.{kind}"),
        studio=desk.studio.info.name,
        sender=sender_of(desk),
        unproven=said["unproven"],
        lead=said["lead"][kind.value],
        parts=tuple((said["titles"][part], _lines(desk, product, said[part])) for part in parts),
        pupils=desk.pupils,
        rows=rows,
        note=said["list_note"].format(loss=desk.words.percent(desk.studio.info.pitcher_loss)),
        as_of=desk.day,
        one_page=pages_told(desk, len(rows), _MOST_ROWS, len(sender_of(desk))),
        own_tests=desk.phrase("own_tests"),
    )
    ident, title = product.recipe.source.id, product.recipe.title
    return Page(path_of(kind, ident), title, "paper_class", content, is_alone=True)


def _lines(desk: Desk, product: Product, lines: list[str]) -> tuple[str, ...]:
    """Return sentences with the studio's own trim and this candle's cure in them."""
    cure_days = pour_of(desk.account, product.recipe.source.id).cure_days
    details = {
        "trim": desk.words.quantity(desk.studio.protocol.trim_mm, "mm"),
        "cure": desk.words.quantity(cure_days, "days"),
    }
    return tuple(line.format(**details) for line in lines)


def _rows(desk: Desk, product: Product) -> tuple[PutOut, ...]:
    """Return what to put out: everything that goes into a candle, then the tools."""
    recipe, pupils = product.recipe, desk.pupils
    pour = pour_of(desk.account, recipe.source.id)
    one, many = (weighed(pour.mix, pour.scale, count) for count in (1, pupils))
    rows = []
    for _, role in _OF_MIX:
        for ident, steps in getattr(many, role).items():
            each, unit = getattr(one, role)[ident], pour.scale.unit
            rows.append(
                PutOut(name_of(ident), f"{pour.scale.text(each)} {unit}",
                       f"{pour.scale.text(steps)} {unit}")
            )  # fmt: skip
    pieces = {recipe.vessel: 1, recipe.wick: recipe.wicks, **_packaging(desk, product)}
    rows += [PutOut(name_of(one), str(n), str(n * pupils)) for one, n in pieces.items()]
    tools = desk.words.phrases["pages"]["papers"]["lesson"]["tools"]
    rows += [_tool(tool["name"], tool["pupils"], pupils) for tool in tools]
    return tuple(rows)


def _packaging(desk: Desk, product: Product) -> dict[str, int]:
    """Return what a candle is packed in; the front label is the proven product's alone."""
    known = desk.studio.packaging
    packed = product.recipe.packaging.items()
    return {ident: count for ident, count in packed if known[ident].form != "label"}


def _tool(name: str, shared_by: int, pupils: int) -> PutOut:
    """Return a tool that so many pupils share; 0 is one for all of them."""
    count = 1 if not shared_by else -(-pupils // shared_by)
    each = {0: None, 1: "1"}.get(shared_by, f"1 / {shared_by}")
    return PutOut(name, each, str(count))
