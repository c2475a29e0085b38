"""What weighs on a product and stands far down its page: named at the head, each with its place."""

from collections.abc import Iterator

from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.products.watches import watched
from handbook_builder.pages.products.wick_advice import WickAdvice
from handbook_builder.pages.trade.parts import held_lines
from handbook_builder.studio.found import batches_by_recipe
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.readings import Verdict


def heed_of(desk: Desk, product: Product, advice: WickAdvice | None) -> tuple[Link, ...]:
    """Return one line for each thing that weighs, with where it is told."""
    lines = (*_batches(desk, product), *_wick(advice), *_former(desk, product),
             *_watched(desk, product))  # fmt: skip
    return tuple(lines)


def _batches(desk: Desk, product: Product) -> Iterator[Link]:
    """Yield the batches that must be kept in the studio, as long as any of them is here."""
    poured = batches_by_recipe(desk.studio).get(product.recipe.source.id, ())
    for one in held_lines(desk, (batch.source.id for batch in poured)):
        on = desk.words.day(one.poured)
        told = desk.phrase("heed.batch", word=one.word.word, on=on, left=one.left)
        yield Link(told, one.link.path)


def _wick(advice: WickAdvice | None) -> Iterator[Link]:
    if advice is not None:
        yield Link(advice.suggestion, "#next-wick")


def _former(desk: Desk, product: Product) -> Iterator[Link]:
    failed = [miss for miss in product.near_misses if miss.candle.verdict is Verdict.FAIL]
    if failed:
        name = "failed_former" if len(failed) > 1 else "failed_former_one"
        yield Link(desk.phrase(f"heed.{name}", count=len(failed)), "#former")


def _watched(desk: Desk, product: Product) -> Iterator[Link]:
    found = watched(desk, product.evidence.passed)
    if found:
        name = "watched_more" if len(found) > 1 else "watched"
        yield Link(desk.phrase(f"heed.{name}", what=found[0], more=len(found) - 1), "#cautions")
