"""One form for every rule: shares, each with a weight and a limit, held against one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple

from handbook_builder.hazards.component import Substance

# Annex I 3.1.3.6.2: above this share of the unknown, the estimate of the mixture is corrected.
UNKNOWN_UP_TO: Final = Fraction(10, 100)


class Source(NamedTuple):
    """Where a rule stands, and how surely it was read: C, S, M or X (see the package)."""

    clause: str
    sure: str


@dataclass(frozen=True, slots=True)
class Term:
    """What one substance brings to a rule by one of its class words.

    Its share counts from `cut_off` on, as weight · share / limit.
    """

    key: str
    name: str
    cas: str
    hazard: str
    weight: Fraction
    limit: Fraction
    cut_off: Fraction

    @property
    def slope(self) -> Fraction:
        """Return how much a whole of it would bring."""
        return self.weight / self.limit


@dataclass(frozen=True, slots=True)
class Threshold:
    """A rule that makes a mixture `outcome` once its terms come to one.

    `is_sum` adds the terms up; otherwise each stands alone, and the largest decides. With `needs`,
    one of those must count as well. `unknown` are the substances of unknown acute toxicity, and
    `ate_limit` the upper end of the category, where the rule is one of acute toxicity.
    """

    rule: str
    outcome: str
    source: Source
    terms: tuple[Term, ...]
    is_sum: bool
    needs: tuple[Term, ...] = ()
    unknown: tuple[str, ...] = ()
    ate_limit: Fraction | None = None


Family = tuple[Threshold, ...]  # the severest first: the first that is reached is the class


@dataclass(frozen=True, slots=True)
class Part:
    """What one component brought: `brings` is its weight · its share of the candle / limit."""

    name: str
    cas: str
    hazard: str
    share: Fraction
    weight: Fraction
    limit: Fraction
    brings: Fraction


@dataclass(frozen=True, slots=True)
class Working:
    """How a rule came out. `total` is what its parts come to, and at 1 the rule is reached.

    `limit` is the limit that all parts share, None when some have a limit of their own. `unknown`
    is the share of unknown acute toxicity, `ate` the mixture's own estimate, in the unit of its
    route, both for rules of acute toxicity only. `outcome` is the class that the rule leads to.
    """

    rule: str
    clause: str
    sure: str
    outcome: str
    reached: bool
    is_sum: bool
    parts: tuple[Part, ...]
    total: Fraction
    limit: Fraction | None
    unknown: Fraction = Fraction(0)
    ate: Fraction | None = None

    @property
    def through(self) -> tuple[Part, ...]:
        """Return the parts that bring it about, the weightiest first."""
        carrying = [part for part in self.parts if self.is_sum or part.brings >= 1]
        return tuple(sorted(carrying, key=lambda part: (-part.brings, part.name)))


def counts(term: Term, shares: Mapping[str, Fraction]) -> bool:
    """Return whether a term's substance is there at its cut-off or above."""
    return shares[term.key] >= term.cut_off


def unknown_share(threshold: Threshold, shares: Mapping[str, Fraction]) -> Fraction:
    """Return the share of the candle whose acute toxicity by this route is not known."""
    return sum((shares[key] for key in threshold.unknown), Fraction(0))


def working(threshold: Threshold, shares: Mapping[str, Fraction]) -> Working:
    """Return how a rule comes out at these shares of the candle."""
    counted = [term for term in threshold.terms if counts(term, shares)]
    parts = tuple(_part(term, shares[term.key]) for term in counted)
    unknown = unknown_share(threshold, shares)
    known = _together(parts, is_sum=threshold.is_sum)
    total = known + unknown if parts and unknown > UNKNOWN_UP_TO else known
    has_needed = not threshold.needs or any(counts(term, shares) for term in threshold.needs)
    limits = {part.limit for part in parts}
    return Working(
        rule=threshold.rule,
        clause=threshold.source.clause,
        sure=threshold.source.sure,
        outcome=threshold.outcome,
        reached=total >= 1 and has_needed,
        is_sum=threshold.is_sum,
        parts=parts,
        total=total,
        limit=limits.pop() if len(limits) == 1 else None,
        unknown=unknown,
        ate=_estimate(threshold, known, unknown),
    )


def _part(term: Term, share: Fraction) -> Part:
    return Part(
        name=term.name,
        cas=term.cas,
        hazard=term.hazard,
        share=share,
        weight=term.weight,
        limit=term.limit,
        brings=term.slope * share,
    )


def _together(parts: Sequence[Part], *, is_sum: bool) -> Fraction:
    brought = [part.brings for part in parts]
    return sum(brought, Fraction(0)) if is_sum else max(brought, default=Fraction(0))


def _estimate(threshold: Threshold, known: Fraction, unknown: Fraction) -> Fraction | None:
    """Return the acute toxicity estimate of the mixture: (1 - unknown) / Σ share / ATE."""
    if threshold.ate_limit is None or known == 0:
        return None
    left = 1 - unknown if unknown > UNKNOWN_UP_TO else Fraction(1)
    return left * threshold.ate_limit / known


def weightiest(terms: Sequence[Term]) -> tuple[Term, ...]:
    """Return of each substance the term that brings most: none counts twice in one rule."""
    best: dict[str, Term] = {}
    for term in terms:
        if term.key not in best or term.slope > best[term.key].slope:
            best[term.key] = term
    return tuple(best.values())


def term_of(
    substance: Substance,
    hazard: str,
    limit: Fraction,
    cut_off: Fraction,
    weight: Fraction | int = 1,
) -> Term:
    """Return what a substance brings by one of its words."""
    return Term(
        key=substance.key,
        name=substance.name,
        cas=substance.cas,
        hazard=hazard,
        weight=Fraction(weight),
        limit=limit,
        cut_off=cut_off,
    )


def percent(value: str | int) -> Fraction:
    """Return a share that is written as a percentage."""
    return Fraction(value) / 100
