"""The hazards of a candle in a few sentences, for a product sheet."""

from collections.abc import Iterator

from handbook_builder.derived.hazards import is_asked
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.hazards import Hazards, hazards_of
from handbook_builder.verdicts.approval import Product


def hazards_told(desk: Desk, product: Product) -> tuple[str, ...]:
    """Return what the candle is labelled with by the markets' rules, and what is not known of it.

    What is incomplete says so first: it is never told as none.
    """
    return tuple(_told(desk, product))


def _told(desk: Desk, product: Product) -> Iterator[str]:
    if is_asked(desk.studio):
        yield from _classified(desk, hazards_of(desk, product))
    if "us" in desk.studio.info.markets:
        yield desk.phrase("label.us")
    yield desk.phrase("papers.aid")


def _classified(desk: Desk, hazards: Hazards) -> Iterator[str]:
    if hazards.lead:
        yield " ".join(hazards.lead)
    if hazards.signal is not None:
        yield _named(desk, "signal", (hazards.signal,))
    if hazards.pictograms:
        yield _named(desk, "pictograms", hazards.pictograms)
    if hazards.statements:
        yield " ".join(f"{one.number}: {one.text}" for one in hazards.statements)
    if hazards.contains:
        yield _named(desk, "contains", hazards.contains)


def _named(desk: Desk, key: str, names: tuple[str, ...]) -> str:
    told = {"what": desk.phrase(f"papers.sheet.{key}"), "names": ", ".join(names)}
    return desk.phrase("papers.sheet.named", **told)
