"""What a batch comes to: how many are left, what was weighed, and its check as a lot.

Nothing here names a recipient: whoever may know them finds them in the batch's own record.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from statistics import fmean
from types import MappingProxyType

from handbook_builder.figures.load import total_load_on_wax
from handbook_builder.figures.net import (
    GRAMS_PER_OUNCE,
    Declared,
    LotCheck,
    declared,
    eu_check,
    us_check,
)
from handbook_builder.once import Found
from handbook_builder.reading.kinds.trade import Batch, Given
from handbook_builder.verdicts.batches import BatchVerdict, batch_verdict, fill_g, measured
from handbook_builder.verdicts.fills import net_fill
from handbook_builder.verdicts.judge import Judged


@dataclass(frozen=True, slots=True)
class BatchFigures:
    """One batch as of a day.

    `given` is how many are out, less what came back; of what is left some are `kept` for good.

    `load_on_wax` and `fill_g` are by the masses that went in, None while any was not weighed;
    `mean_net_g` is of the filled candles that were weighed. `checks` is by market, only when any
    was weighed; None where the market's rule does not cover so small or so large a quantity.
    """

    verdict: BatchVerdict
    made: int
    given: int
    kept: int
    declared: Declared
    load_on_wax: float | None
    fill_g: float | None
    mean_net_g: float | None
    checks: Mapping[str, LotCheck | None]

    @property
    def left(self) -> int:
        """Return how many are left in the studio."""
        return self.made - self.given

    @property
    def on_hand(self) -> int:
        """Return how many of them may still go out: what is kept is not."""
        return self.left - self.kept


def given_by(judged: Judged, batch: Batch) -> tuple[Given, ...]:
    """Return what of a batch had gone out, or come back, by the day, the oldest first."""
    known = (handed for handed in batch.given if handed.on <= judged.as_of)
    return tuple(sorted(known, key=lambda one: one.on))


def batches_of(judged: Judged) -> Mapping[str, BatchFigures]:
    """Return every batch poured on or before the day, with its figures."""
    batches = judged.studio.batches
    poured = (ident for ident, batch in sorted(batches.items()) if batch.on <= judged.as_of)
    return Found(poured, lambda ident: batch_figures(judged, batches[ident]))


def batch_figures(judged: Judged, batch: Batch) -> BatchFigures:
    """Return the figures of one batch."""
    studio = judged.studio
    found = measured(studio, batch)
    label = declared(net_fill(studio, studio.recipes[batch.recipe]).net_g)
    return BatchFigures(
        verdict=batch_verdict(judged, batch),
        made=batch.made,
        given=sum(handed.out for handed in given_by(judged, batch)),
        kept=sum(one.count for one in batch.kept if one.on <= judged.as_of),
        declared=label,
        load_on_wax=None if found is None else total_load_on_wax(found),
        fill_g=fill_g(studio, batch),
        mean_net_g=fmean(batch.net_g) if batch.net_g else None,
        checks=MappingProxyType(dict(_checks(studio.info.markets, batch, label))),
    )


def _checks(
    markets: tuple[str, ...], batch: Batch, label: Declared
) -> Iterator[tuple[str, LotCheck | None]]:
    if not batch.net_g:
        return
    for market in markets:
        if market == "us":
            yield market, us_check(labelled_g(label), batch.net_g, batch.made)
        else:
            yield market, eu_check(label.grams, batch.net_g, batch.made)


def labelled_g(label: Declared) -> float:
    """Return the larger of the two quantities on the label, in grams: it is what was promised."""
    return max(float(label.grams), float(label.ounces * GRAMS_PER_OUNCE))
