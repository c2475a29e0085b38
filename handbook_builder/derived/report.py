"""All derived figures as one plain structure, for other programs: `figures --json`.

The shape is versioned. Numbers are in the units that their names say and are not rounded; money
is text; dates are ISO; keys are sorted by whoever writes it out.
"""

from collections.abc import Callable, Sequence
from typing import Any, Final

from handbook_builder.derived.account import Account, ProductFigures
from handbook_builder.derived.burns import CycleFigures
from handbook_builder.figures.life import Life
from handbook_builder.verdicts.approval import Burned, Product
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.verdicts.reason import Reason

FORMAT: Final = 1
Say = Callable[[Reason], str]


def report(account: Account, say: Say) -> dict[str, Any]:
    """Return the figures of the whole studio; `say` puts a reason into words."""
    return {
        "format": FORMAT,
        "as_of": account.judged.as_of.isoformat(),
        "vessels": {ident: _vessel(account, ident, say) for ident in account.judged.vessels},
        "products": {
            ident: _product(one, account.products[ident], say)
            for ident, one in account.judged.products.items()
        },
        "burns": {ident: _burn(account, ident, say) for ident in account.judged.burns},
    }


def _vessel(account: Account, ident: str, say: Say) -> dict[str, Any]:
    screened, figures = account.judged.vessels[ident], account.vessels[ident]
    price = account.prices.by_item.get(f"vessels/{ident}")
    costing = account.studio.info.costing
    return {
        "screening": screened.screening.value,
        "reasons": [say(one) for one in screened.reasons],
        "fill_ml": figures.fill_ml,
        "brim_ml": figures.brim_ml,
        "landed_cost": None if price is None else str(price.chosen(costing)),
    }


def _ids(candles: Sequence[CandleVerdict]) -> list[str]:
    return sorted(one.id for one in candles)


def _product(product: Product, figures: ProductFigures, say: Say) -> dict[str, Any]:
    evidence = product.evidence
    return {
        "status": product.status.value,
        "code": figures.code,
        "missing": [
            {"code": one.code, "what": say(one), "where": str(one.place)} for one in product.missing
        ],
        "fill_g": figures.fill.net_g,
        "wax_g": sum(figures.masses.wax_g.values()),
        "fragrance_g": dict(figures.masses.fragrance_g),
        "colorant_g": dict(figures.masses.colorant_g),
        "load_on_wax": figures.load_on_wax,
        "share_of_total": dict(product.combination.make_up.fragrance),
        "passed": _ids(evidence.passed),
        "failed": _ids(evidence.failed),
        "burning": _ids(evidence.burning),
        "incomplete": _ids(evidence.incomplete),
        "void": _ids(evidence.void),
        "life_h": None if figures.life is None else _life(figures.life),
        "rate_g_per_h": figures.rate_g_per_h,
        "failure_upper_95": figures.failure_upper_95,
        "unit_cost": None if figures.cost.total is None else str(figures.cost.total),
        "cost_lines": {name: str(sum_) for name, sum_ in figures.cost.lines.items()},
        "unpriced": list(figures.cost.unpriced),
    }


def _life(life: Life) -> dict[str, float | None]:
    return {
        "mean": life.mean_h,
        "shortest": life.shortest_h,
        "low": life.low_h,
        "high": life.high_h,
    }


def _burn(account: Account, ident: str, say: Say) -> dict[str, Any]:
    burned: Burned = account.judged.burns[ident]
    candle, figures = burned.candle, account.burns[ident]
    pairs = zip(candle.cycles, figures.cycles, strict=True)
    return {
        "verdict": candle.verdict.value,
        "reasons": [say(one) for one in (*candle.failures, *candle.gaps)],
        "code": account.burn_codes[ident],
        "hours": figures.hours_h,
        "consumed_g": figures.consumed_g,
        "rate_g_per_h": figures.rate_g_per_h,
        "cycles": [_cycle(cycle, numbers, say) for cycle, numbers in pairs],
    }


def _cycle(cycle: CycleVerdict, figures: CycleFigures, say: Say) -> dict[str, Any]:
    return {
        "verdict": cycle.verdict.value,
        "reasons": [say(one) for one in (*cycle.failures, *cycle.gaps)],
        "watches": [say(one) for one in cycle.watches],
        "consumed_g": figures.consumed_g,
        "rate_g_per_h": figures.rate_g_per_h,
        "rate_uncertainty": figures.rate_uncertainty_g_per_h,
        "coverage": figures.coverage,
    }
