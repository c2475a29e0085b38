"""What the suppliers' papers allow: loads, certificates, safety sheets, lead-free wicks."""

from collections.abc import Iterator
from datetime import date

from handbook_builder.figures.load import MakeUp, blended_limit, total_load_on_wax
from handbook_builder.reading.kinds.items import PLAIN_CORES, Fragrance
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.studio.studio import Studio, counting
from handbook_builder.verdicts.readings import exceeds
from handbook_builder.verdicts.reason import Reason, quantity


def lacking(studio: Studio, recipe: Recipe, make_up: MakeUp, day: date) -> Iterator[Reason]:
    """Yield what the papers on file on `day` forbid, or do not yet allow."""
    for ident, share in make_up.fragrance.items():
        yield from _oil(studio.fragrances[ident], share, day)
    yield from _load(studio, recipe, make_up)
    wick = studio.wicks[recipe.wick]
    if wick.core not in PLAIN_CORES and not counting(wick, wick.lead_free, day):
        details = {"wick": recipe.wick, "core": wick.core}
        yield Reason("lead_free_missing", wick.source.place("core"), details)


def _oil(oil: Fragrance, share: float, day: date) -> Iterator[Reason]:
    source = oil.source
    if oil.max_use is None:
        yield Reason("oil_max_use_unknown", source.place(), {"fragrance": source.id})
    elif exceeds(share, oil.max_use):
        details = {
            "fragrance": source.id,
            "is": quantity(share, "share"),
            "most": quantity(oil.max_use, "share"),
        }
        yield Reason("oil_over_max_use", source.place("max_use"), details)
    if not counting(oil, oil.certificate, day):
        yield Reason("certificate_missing", source.place("certificate"), {"fragrance": source.id})
    if not counting(oil, oil.safety_sheet, day):
        yield Reason("safety_sheet_missing", source.place("safety_sheet"), {"fragrance": source.id})


def _load(studio: Studio, recipe: Recipe, make_up: MakeUp) -> Iterator[Reason]:
    limits = {ident: studio.waxes[ident].max_load for ident in make_up.wax}
    most, load = blended_limit(make_up.wax, limits), total_load_on_wax(make_up)
    if exceeds(load, most):
        details = {"is": quantity(load, "share"), "most": quantity(most, "share")}
        yield Reason("load_over_max_load", recipe.source.place("fragrance"), details)
