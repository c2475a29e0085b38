"""What is on file about the things in a candle: letters, certificates, sheets, with their days."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from handbook_builder.pages.desk import Desk, Link, item_link
from handbook_builder.pages.papers.places import From, come_from
from handbook_builder.reading.kinds.items import (
    PLAIN_CORES,
    Certificate,
    Dated,
    Fragrance,
    HeatEvidence,
    LeadFree,
    LeakTest,
    SafetySheet,
    Vessel,
    Wick,
)
from handbook_builder.studio.studio import spec_as_of, spec_of
from handbook_builder.verdicts.approval import Product


@dataclass(frozen=True, slots=True)
class Filed:
    """One paper on file: of what item, which paper, of what day, and what it says.

    `is_current` says that it speaks of the item as it is sold now. `by` is whose word it is, for a
    reader who may know.
    """

    item: Link
    paper: str
    on: date
    says: str
    by: str | None
    is_current: bool
    place: From


def filed_of(desk: Desk, product: Product) -> tuple[Filed, ...]:
    """Return every paper on file by the day about what is in a product, item by item."""
    return (*papers_of_vessel(desk, product), *papers_of_wick(desk, product),
            *papers_of_oils(desk, product))  # fmt: skip


def papers_of_vessel(desk: Desk, product: Product) -> tuple[Filed, ...]:
    """Return the heat evidence and the leak tests of a product's vessel."""
    vessel = desk.studio.vessels[product.recipe.vessel]
    return (*_listed(desk, vessel, "heat_evidence", vessel.heat_evidence),
            *_listed(desk, vessel, "leak_test", vessel.leak_test))  # fmt: skip


def papers_of_wick(desk: Desk, product: Product) -> tuple[Filed, ...]:
    """Return the words that a product's wick holds no lead."""
    wick = desk.studio.wicks[product.recipe.wick]
    return tuple(_listed(desk, wick, "lead_free", wick.lead_free))


def papers_of_oils(desk: Desk, product: Product) -> tuple[Filed, ...]:
    """Return the certificates and safety sheets of a product's oils."""
    oils = (desk.studio.fragrances[ident] for ident in product.recipe.fragrance)
    return tuple(
        filed
        for oil in oils
        for key, papers in (("certificate", oil.certificate), ("safety_sheet", oil.safety_sheet))
        for filed in _listed(desk, oil, key, papers)
    )


def core_told(desk: Desk, product: Product) -> str:
    """Return what the core of a product's wick is, and whether a word about lead is due."""
    core = desk.studio.wicks[product.recipe.wick].core
    sort = "none" if core == "none" else "plain" if core in PLAIN_CORES else "metal"
    return desk.phrase(f"papers.core.{sort}", core=core)


def _listed(
    desk: Desk, item: Vessel | Wick | Fragrance, key: str, papers: tuple[Dated, ...]
) -> Iterator[Filed]:
    """Yield the papers of an item that stand under one key of its record."""
    source = item.source
    for at, paper in enumerate(papers):
        if paper.on <= desk.day:
            yield Filed(
                item=item_link(source.kind, source.id),
                paper=_called(desk, key, paper),
                on=paper.on,
                says=_says(desk, paper),
                by=paper.by if isinstance(paper, HeatEvidence | LeadFree) else None,
                is_current=spec_of(item, paper) == spec_as_of(item, desk.day),
                place=come_from(desk, source.place(f"{key}[{at}]")),
            )


def _called(desk: Desk, key: str, paper: Dated) -> str:
    if isinstance(paper, HeatEvidence):
        return desk.phrase(f"evidence_kinds.{paper.kind}")
    return desk.phrase(f"papers.filed.{key}")


def _says(desk: Desk, paper: Dated) -> str:
    """Return what a paper says beside its day, or nothing."""
    said: tuple[str | None, ...] = ()
    if isinstance(paper, HeatEvidence):
        said = (desk.maybe(paper.difference_k, "k"), _result(desk, paper.result))
    elif isinstance(paper, LeakTest):
        said = (desk.words.quantity(paper.hours_h, "h"), _result(desk, paper.result))
    elif isinstance(paper, Certificate):
        said = (_numbered(desk, "amendment", paper.amendment),)
    elif isinstance(paper, SafetySheet):
        said = (_numbered(desk, "revision", paper.revision),)
    return ", ".join(each for each in said if each)


def _result(desk: Desk, result: str | None) -> str:
    return "" if result is None else desk.phrase(f"papers.filed.results.{result}")


def _numbered(desk: Desk, key: str, number: str | None) -> str:
    return "" if number is None else desk.phrase(f"papers.filed.{key}", number=number)
