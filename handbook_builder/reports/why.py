"""Why products are not approved: `why --json`, by id.

`status`; `provisos`: sentences; `missing`: [{code, what, where}], what stands in the way, in the
order to be heard; `uncounted`, by id of the candle: the same of what keeps it from counting;
`odds`: a sentence; `pourings`, `set_aside` and `protocol` as in `figures --json`; `next_wick`, null
where the vessel is refused; `near_misses`: [{burn, verdict, differences}].
"""

from collections.abc import Iterable

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.evidence import odds
from handbook_builder.pages.products.in_the_way import in_the_way
from handbook_builder.pages.products.provisos import provisos_of
from handbook_builder.reports.proof import proof_told, protocol_told
from handbook_builder.reports.reasons import Told, told
from handbook_builder.reports.wicks import advice_told
from handbook_builder.verdicts.approval import NearMiss, Product
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Words


def why_report(desk: Desk, asked: Iterable[Product]) -> dict[str, object]:
    """Return what was asked for, by id."""
    return {name.recipe.source.id: _product(desk, name) for name in asked}


def _product(desk: Desk, product: Product) -> dict[str, object]:
    is_refused = product.screened.screening is Screening.REFUSED
    return {
        "status": product.status,
        "provisos": provisos_of(desk, product).sentences,
        "missing": [
            Told(obstacle.code, obstacle.said.text, obstacle.said.where)
            for obstacle in in_the_way(desk, product)
        ],
        "uncounted": _uncounted(product, desk.words),
        "odds": odds(desk, product).sentence,
        **proof_told(product),
        "protocol": protocol_told(desk.studio.protocol),
        "next_wick": None if is_refused else advice_told(desk.account, product),
        "near_misses": [_near_miss(miss, desk.words) for miss in product.near_misses],
    }


def _uncounted(product: Product, words: Words) -> dict[str, list[Told]]:
    evidence = product.evidence
    candles = (*evidence.failed, *evidence.incomplete, *evidence.burning)
    return {candle.id: told(candle.failures or candle.gaps, words.say) for candle in candles}


def _near_miss(one: NearMiss, words: Words) -> dict[str, object]:
    return {
        "burn": one.candle.id,
        "verdict": one.candle.verdict,
        "differences": [words.difference(difference) for difference in one.differences],
    }
