"""All derived figures as one plain structure, for other programs: `figures --json`.

The shape is versioned (`format`, now 2). Numbers are in the units that their names say and are not
rounded; money is text; dates are ISO; keys are sorted by whoever writes it out.

`protocol`: its `id`, and `loosened`: [{key, what, own, shipped}], in what it asks less than the
shipped one.

`products`, by id, beside status, code, masses and money: the ids of the candles `passed`, `failed`,
`burning`, `incomplete`, `void`, `misuse` and `ladder` (one that failed stands in `failed`);
`pourings`, on how many days the passed ones were poured; `set_aside`: [{burn, candle, on, by, why,
stands}], where `stands` says that it failed all the same; `life_h` to the end; `life_to_stop_h` to
the protocol's stop mark: {candles: by id or null, shortest, low, high}; `claim_h`, the whole hours
that a label may claim, null for what is not approved and wherever nothing may be claimed.

`products.ID.hazards` of the finished candle by the EU's and Great Britain's rules for mixtures, or
null where the studio sells in neither: `complete`, false while anything is `missing`: [{code, name,
cas, detail}], and then `classes`, `signal` (Danger | Warning | null), `pictograms`, `h`, `p` and
`euh208` (names) are the least there is; `contains`, the names that a label must bear; `unknown`,
the components, oils and dyes about which anything is missing; `small_pack`: {h, p}, what a pack of
up to 125 ml might leave off, to be checked by hand; `told` and `by_hand`, unclear points, in the
form of `missing`; `ignored`: [{name, cas, hazard, share, limit, why (below_cut_off |
solid_candle)}]; `workings`: [{rule, clause, sure (C | S | M | X), outcome, reached, is_sum, parts:
[{name, cas, hazard, share, weight, limit, brings}], total (1 is at the limit), limit, unknown,
ate}];
`load_on_wax`, and up to `steps_up_to` the `steps`: [{from (load_on_wax), at, beyond (only above
`at`), kind (class | pictogram | statement | euh208), appears, falls_away, through, cas}].

`burns`, by id: `verdict` (pass | fail | burning | incomplete | void | misuse | ladder), `misuse`
(how it was burned, or null), `rungs` (of the ladder that it was lit for, or null), `reasons`,
`life_to_stop_h`, figures and `cycles`.

`batches`, by id: `recipe`, `on`, `code` as poured (or null), `cured_on`, `state` (suspended |
disproven | poured_against | former | unlike | unweighed | curing | as_proven) with `reasons`,
`notes` and the numbers of its open `incidents`; `made`, `out`, `left`, and how many of these are
`kept`;
`lots`: [{item, lot, purchases: [ids]}]; `given`: [{on, to, count, how}]; `load_on_wax` and
`fill_g` by the masses that went in;
`mean_net_g` of the filled candles; `declared_g` and `declared_oz` (text); `net_checks` by market:
{outcome, average, individual (passed | failed | too_few | not_asked), labelled_g, lot, weighed,
needed, mean_g, sd_g, least_mean_g, short_below_g, short, none_below_g, far_short}, or null where a
rule does not reach.

`lots`, by their name in addresses (`waxes-soy-blend--w-2231`): `item`, `lot`, the numbers of the
`incidents` open about it, `purchases`: [{purchase, supplier, on, quantity}], `batches`: [ids],
`tests`: [ids of test candles]; `taken` and `bought` in `unit` (g | pieces), null where no bill says
so, and `overdrawn`.

`helpers`, by id: `may`, and `must_read`: [{page, why (never | changed | unsaid), since, edition,
now}]. `guides`: their editions, by name. `warnings`: [{file, line, column, code, message}], as
`check` tells them.

Format 1 had no `protocol`, `pourings`, `set_aside`, `misuse`, `life_to_stop_h`, `claim_h`,
`cured_on`, `code` of a batch, `taken`, `bought`, `helpers`, `guides` and `warnings`, and did not
know the verdict `misuse` and the states `former` and `curing`.
"""

from collections.abc import Sequence
from math import fsum
from typing import Final

from handbook_builder.derived.account import Account, ProductFigures
from handbook_builder.derived.diagnoses import findings_of
from handbook_builder.derived.notices import notices, unjudged_notices
from handbook_builder.derived.to_stop import ToStop, candle_to_stop_h
from handbook_builder.figures.life import Life
from handbook_builder.problems import Problem
from handbook_builder.reports.cycles import Judged, amended_told, cycle_told, failed_or_open
from handbook_builder.reports.faults import problem_told
from handbook_builder.reports.hands import hands_report
from handbook_builder.reports.hazards import hazards_told
from handbook_builder.reports.money import price_sums, product_sums, vessel_sums
from handbook_builder.reports.proof import proof_told, protocol_told
from handbook_builder.reports.reasons import Say, said, told
from handbook_builder.reports.trade import trade_report
from handbook_builder.reports.wicks import advice_told
from handbook_builder.verdicts.approval import Burned, Product
from handbook_builder.verdicts.candles import CandleVerdict

FORMAT: Final = 2


def report(account: Account, say: Say) -> dict[str, object]:
    """Return the figures of the whole studio; `say` puts a reason into words."""
    return {
        "format": FORMAT,
        "as_of": account.judged.as_of,
        "protocol": protocol_told(account.studio.protocol),
        "vessels": {ident: _vessel(account, ident, say) for ident in account.judged.vessels},
        "products": {
            ident: _product(one, account.products[ident], say)
            | product_sums(account, ident)
            | {"next_wick": advice_told(account, one), "hazards": hazards_told(account, ident)}
            for ident, one in account.judged.products.items()
        },
        "burns": {ident: _burn(account, ident, say) for ident in account.judged.burns},
        **price_sums(account),
        **trade_report(account, say),
        **hands_report(account),
        "warnings": [problem_told(notice) for notice in _notices(account)],
    }


def _notices(account: Account) -> tuple[Problem, ...]:
    known = unjudged_notices if account.money is None else notices
    return known(account.studio, account.judged.as_of, account.guides)


def _vessel(account: Account, ident: str, say: Say) -> dict[str, object]:
    screened, figures = account.judged.vessels[ident], account.vessels[ident]
    return {
        "screening": screened.screening,
        "reasons": said(screened.reasons, say),
        "fill_ml": figures.fill_ml,
        "brim_ml": figures.brim_ml,
        **vessel_sums(account, ident),
    }


def _ids(candles: Sequence[CandleVerdict]) -> list[str]:
    return sorted(candle.id for candle in candles)


def _product(product: Product, figures: ProductFigures, say: Say) -> dict[str, object]:
    evidence = product.evidence
    return {
        "status": product.status,
        "code": figures.code,
        "missing": told(product.missing, say),
        "fill_g": figures.fill.net_g,
        "wax_g": fsum(figures.masses.wax_g.values()),
        "fragrance_g": figures.masses.fragrance_g,
        "colorant_g": figures.masses.colorant_g,
        "load_on_wax": figures.load_on_wax,
        "share_of_total": product.combination.make_up.fragrance,
        "passed": _ids(evidence.passed),
        "failed": _ids(evidence.failed),
        "burning": _ids(evidence.burning),
        "incomplete": _ids(evidence.incomplete),
        "void": _ids(evidence.void),
        "misuse": _ids(evidence.misuse),
        "ladder": _ids(evidence.ladder),
        **proof_told(product),
        "life_h": None if figures.life is None else _life(figures.life),
        "life_to_stop_h": _to_stop(figures.to_stop),
        "claim_h": figures.to_stop.claim_h,
        "rate_g_per_h": figures.rate_g_per_h,
        "failure_upper_95": figures.failure_upper_95,
    }


def _life(life: Life) -> dict[str, object]:
    return {
        "mean": life.mean_h,
        "shortest": life.shortest_h,
        "low": life.low_h,
        "high": life.high_h,
    }


def _to_stop(found: ToStop) -> dict[str, object]:
    life = found.life
    return {
        "candles": found.lives_h,
        "shortest": None if life is None else life.shortest_h,
        "low": None if life is None else life.low_h,
        "high": None if life is None else life.high_h,
    }


def _burn(account: Account, ident: str, say: Say) -> dict[str, object]:
    burned: Burned = account.judged.burns[ident]
    candle, figures = burned.candle, account.burns[ident]
    cycles = [
        Judged(seen.cycle, verdict, numbers)
        for seen, verdict, numbers in zip(
            candle.seen.cycles, candle.cycles, figures.cycles, strict=True
        )
    ]
    return {
        "verdict": candle.verdict,
        "misuse": candle.seen.burn.how,
        "rungs": candle.seen.burn.made.rungs,
        "reasons": failed_or_open(candle, say),
        "life_to_stop_h": candle_to_stop_h(account.studio, candle.seen),
        "code": account.burn_codes[ident],
        "hours": figures.hours_h,
        "consumed_g": figures.consumed_g,
        "rate_g_per_h": figures.rate_g_per_h,
        "findings": [finding.code for finding in findings_of(account.studio, candle, figures)],
        "cycles": [cycle_told(one, say) for one in cycles],
        "end": None if candle.seen.end is None else amended_told(candle.seen.end),
    }
