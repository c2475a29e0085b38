"""A record that lists more components than the safety sheet that it copies."""

from collections.abc import Iterator

from handbook_builder.problems import Problem, problem
from handbook_builder.reading.kinds.items import Colorant, Fragrance
from handbook_builder.studio.studio import Studio


def overlisted(studio: Studio) -> Iterator[Problem]:
    """Yield a problem for each oil or dye with more components than its sheet is said to list.

    Fewer are no fault: the rest may still be copied, and the hazards are incomplete until then.
    """
    for oil in studio.fragrances.values():
        yield from _overlisted(oil)
    for dye in studio.colorants.values():
        yield from _overlisted(dye)


def _overlisted(item: Fragrance | Colorant) -> Iterator[Problem]:
    listed, stated = len(item.components), item.sheet_lists
    if stated is not None and listed > stated:
        details = {"listed": listed, "stated": stated}
        yield problem(item.source.place("sheet_lists"), "sheet_lists_fewer", details)
