"""Net quantity: what a label may declare, and whether the filled masses of a lot bear it out.

European Union and Great Britain: Council Directive 76/211/EEC, Annexes I and II, and UK SI
2006/659, which has the same numbers. United States: the two requirements of NIST Handbook 133;
its tables stand here from memory, unconfirmed, and are not NIST's until compared with a copy.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from enum import StrEnum
from statistics import fmean, stdev
from typing import Final

from handbook_builder.figures.guard import not_negative, positive
from handbook_builder.figures.student import t_quantile

# The avoirdupois ounce, exactly (NIST Handbook 44, Appendix C).
GRAMS_PER_OUNCE: Final = Decimal("28.349523125")
# A millionth of a gram forgives what floats take from a mass that was written in ounces.
_SLACK_G: Final = 1e-6

# Annex I, section 2.4: nominal quantity up to and with, per mille of it or tenths of a gram.
_EU_ERRORS: Final = (
    (50, 90, 0),
    (100, 0, 45),
    (200, 45, 0),
    (300, 0, 90),
    (500, 30, 0),
    (1_000, 0, 150),
    (10_000, 15, 0),
    (15_000, 0, 1_500),
)
_EU_ABOVE_PER_MILLE: Final = 10
_EU_LEAST_G: Final = 5
# "Generally no more than 2.5 %" is the regulators' guidance to packers (UK Trading Standards);
# the directive itself says that the share must be "sufficiently small".
_EU_SHARE_PER_MILLE: Final = 25
_EU_WHOLE_BELOW: Final = 100
# Annex II, section 2.3: k = t(0.995; n - 1) / √n, as published to three digits.
_EU_K: Final = {30: 0.503, 50: 0.379}
_EU_CHANCE: Final = 0.995
_EU_MEAN_OF: Final = 50

# Handbook 133, Table 2-5, labelled by weight: grams up to and with, the variation in grams.
# From memory, unconfirmed, digits differ by edition: compare with a copy before relying on one.
_US_VARIATIONS: Final = (
    (54.0, 3.6), (81.0, 5.4), (117.0, 7.2), (154.0, 9.0), (208.0, 10.8), (263.0, 12.7),
    (317.0, 14.5), (381.0, 16.3), (426.0, 18.1), (489.0, 19.9), (571.0, 21.7), (635.0, 23.5),
    (698.0, 25.4), (771.0, 27.2), (852.0, 29.0), (970.0, 31.7), (1120.0, 35.3), (1250.0, 39.0),
    (1450.0, 42.6), (1760.0, 49.8),
)  # fmt: skip
_US_SMALL_G: Final = 36.0
# Handbook 133, Table 2-1, category A. From memory, unconfirmed.
_US_ALL_UP_TO: Final = 11
_US_SAMPLES: Final = ((250, 12), (3_200, 24))
_US_LARGEST_SAMPLE: Final = 48
_US_CHANCE: Final = 0.975


class Outcome(StrEnum):
    """How one requirement was met; `too_few` were weighed to say, or it is `not_asked`."""

    PASSED = "passed"
    FAILED = "failed"
    TOO_FEW = "too_few"
    NOT_ASKED = "not_asked"


@dataclass(frozen=True, slots=True)
class Declared:
    """What a label may declare: both are rounded down, so neither promises too much."""

    grams: int
    ounces: Decimal


@dataclass(frozen=True, slots=True)
class Plan:
    """A double sampling plan: accept up to so many defectives, reject from so many on.

    `both` counts the two samples together, and `accept_both` the defectives in them.
    """

    first: int
    accept_first: int
    reject_first: int
    both: int
    accept_both: int


@dataclass(frozen=True, slots=True)
class LotCheck:
    """How the filled masses of one lot stand to the quantity on their label.

    `least_mean_g` is the mean that is still accepted, None while it cannot be said. Below
    `limit_g` a candle counts as short; below `bound_g` (None without such a rule) none may be.
    """

    labelled_g: float
    lot_size: int
    weighed: int
    needed: int
    mean_g: float
    sd_g: float | None
    least_mean_g: float | None
    average: Outcome
    limit_g: float
    short: int
    bound_g: float | None
    far_short: int
    individual: Outcome

    @property
    def outcome(self) -> Outcome:
        """Return the worse of the two: a lot passes only when nothing is left open."""
        both = (self.average, self.individual)
        for word in (Outcome.FAILED, Outcome.TOO_FEW):
            if word in both:
                return word
        return Outcome.PASSED


def declared(net_g: float) -> Declared:
    """Return the quantity to declare for a net fill: grams and avoirdupois ounces, rounded down.

    Whole grams; ounces to hundredths below one ounce, to tenths from there on.
    """
    grams = Decimal(str(not_negative(net_g, "net_g") + _SLACK_G))
    exact = grams / GRAMS_PER_OUNCE
    return Declared(math.floor(grams), exact.quantize(_step_oz(exact), rounding=ROUND_FLOOR))


def _step_oz(ounces: Decimal) -> Decimal:
    return Decimal("0.01") if ounces < 1 else Decimal("0.1")


def tolerable_negative_error_g(nominal_g: int) -> float | None:
    """Return the tolerable negative error of a nominal quantity in grams (76/211/EEC, Annex I).

    Percentages are rounded up to the next tenth of a gram. None below 5 g, where the table does
    not begin.
    """
    if nominal_g < _EU_LEAST_G:
        return None
    for most_g, per_mille, tenths in _EU_ERRORS:
        if nominal_g <= most_g:
            # Whole numbers, so that no float rounds a tenth up that is not due.
            return (tenths or -(-nominal_g * per_mille // 100)) / 10
    return -(-nominal_g * _EU_ABOVE_PER_MILLE // 100) / 10


def sampling_plan(lot_size: int) -> Plan:
    """Return the plan for the defectives of a lot of 100 or more (76/211/EEC, Annex II, 2.2).

    Smaller lots have none and are checked whole: `ValueError`.
    """
    if lot_size < _EU_WHOLE_BELOW:
        msg = f"a lot of {lot_size} is checked whole"
        raise ValueError(msg)
    if lot_size <= 500:  # noqa: PLR2004 -- the directive's own rows
        return Plan(30, 1, 3, 60, 4)
    if lot_size <= 3_200:  # noqa: PLR2004
        return Plan(50, 2, 5, 100, 6)
    return Plan(80, 3, 7, 160, 8)


def by_plan(short: Sequence[bool], plan: Plan) -> Outcome:
    """Return what a plan says of candles in the order in which they were weighed.

    A second sample that was weighed counts, even where the first alone would do.
    """
    first, both = sum(short[: plan.first]), sum(short[: plan.both])
    if first >= plan.reject_first or both > plan.accept_both:
        return Outcome.FAILED
    if len(short) < plan.first:
        return Outcome.TOO_FEW
    if first <= plan.accept_first:
        return Outcome.PASSED
    return Outcome.TOO_FEW if len(short) < plan.both else Outcome.PASSED


def mean_factor(weighed: int) -> float:
    """Return k of the European test of the mean, by which the deviation is multiplied.

    The published digits for 30 and 50; else k = t(0.995; n - 1) / √n, computed.
    """
    if weighed in _EU_K:
        return _EU_K[weighed]
    return t_quantile(_EU_CHANCE, weighed - 1) / math.sqrt(weighed)


def eu_check(nominal_g: int, net_g: Sequence[float], lot_size: int) -> LotCheck | None:
    """Return the European check of a lot; None below 5 g, where the rules do not begin.

    The mean may not be below the nominal quantity; few may lie below it by more than the
    tolerable negative error, and none by more than twice that. A lot below 100, and one of which
    all were weighed, is judged whole: then at most 2.5 % may be short (the regulators' guidance).
    Nothing weighed, and more weighed than were made, are a `ValueError`.
    """
    error_g = tolerable_negative_error_g(nominal_g)
    if error_g is None:
        return None
    sample = _Sample.of(net_g, lot_size)
    limit_g, bound_g = nominal_g - error_g, nominal_g - 2 * error_g
    short, far = sample.below(limit_g), sum(sample.below(bound_g))
    needed = _eu_needed(lot_size)
    least_mean_g = _eu_least_mean(nominal_g, sample, needed)
    individual = _eu_individual(short, lot_size)
    return LotCheck(
        labelled_g=nominal_g, lot_size=lot_size, weighed=sample.count, needed=needed,
        mean_g=sample.mean_g, sd_g=sample.sd_g,
        least_mean_g=least_mean_g, average=sample.mean_against(least_mean_g),
        limit_g=limit_g, short=sum(short), bound_g=bound_g, far_short=far,
        individual=Outcome.FAILED if far else individual,
    )  # fmt: skip


def _eu_needed(lot_size: int) -> int:
    if lot_size < _EU_WHOLE_BELOW:
        return lot_size
    return sampling_plan(lot_size).first


def _eu_least_mean(nominal_g: int, sample: "_Sample", needed: int) -> float | None:
    """Return the least mean that is accepted, or None while too few were weighed."""
    if sample.count == sample.lot_size:
        return float(nominal_g)
    # The mean of the largest lots is tested on 50, their defectives on 80.
    if sample.lot_size < _EU_WHOLE_BELOW or sample.count < min(needed, _EU_MEAN_OF):
        return None
    return nominal_g - mean_factor(sample.count) * (sample.sd_g or 0.0)


def _eu_individual(short: Sequence[bool], lot_size: int) -> Outcome:
    weighed = len(short)
    if lot_size >= _EU_WHOLE_BELOW:
        plan = sampling_plan(lot_size)
        if weighed <= plan.both:
            return by_plan(short, plan)
        lot_size = weighed  # more than the plan asks for: then all of them count
    if sum(short) * 1000 > _EU_SHARE_PER_MILLE * lot_size:
        return Outcome.FAILED
    return Outcome.TOO_FEW if weighed < lot_size else Outcome.PASSED


def us_variation_g(labelled_g: float) -> float | None:
    """Return the maximum allowable variation of a labelled weight in grams (Handbook 133).

    From memory, unconfirmed: see the head of this module. 10 % below 36 g; None above 1.76 kg.
    """
    if positive(labelled_g, "labelled_g") < _US_SMALL_G:
        return labelled_g / 10
    return next((varies for most_g, varies in _US_VARIATIONS if labelled_g <= most_g), None)


def us_sample_size(lot_size: int) -> int:
    """Return how many of a lot must be weighed (Handbook 133, from memory, unconfirmed)."""
    if lot_size <= _US_ALL_UP_TO:
        return lot_size
    return next((size for most, size in _US_SAMPLES if lot_size <= most), _US_LARGEST_SAMPLE)


def us_correction_factor(weighed: int) -> float:
    """Return the sample correction factor, t(0.975; n - 1) / √n, computed from the formula."""
    return t_quantile(_US_CHANCE, weighed - 1) / math.sqrt(weighed)


def us_check(labelled_g: float, net_g: Sequence[float], lot_size: int) -> LotCheck | None:
    """Return the American check of a lot; None above 1.76 kg, where the table here ends.

    The mean may fall below the label only by what the sample cannot tell apart (the correction
    factor times the deviation), and none may be short by more than the allowable variation; of 48
    or more, one may. From memory, unconfirmed. One single candle is held to the variation alone.
    Nothing weighed, and more weighed than were made, are a `ValueError`.
    """
    variation_g = us_variation_g(labelled_g)
    if variation_g is None:
        return None
    sample, needed = _Sample.of(net_g, lot_size), us_sample_size(lot_size)
    limit_g = labelled_g - variation_g
    short = sum(sample.below(limit_g))
    allowed = 1 if sample.count >= _US_LARGEST_SAMPLE else 0
    enough = sample.count >= needed
    least_mean_g = None
    if enough and sample.sd_g is not None:
        least_mean_g = labelled_g - us_correction_factor(sample.count) * sample.sd_g
    alone = enough and sample.sd_g is None
    within = Outcome.PASSED if enough else Outcome.TOO_FEW
    return LotCheck(
        labelled_g=labelled_g, lot_size=lot_size, weighed=sample.count, needed=needed,
        mean_g=sample.mean_g, sd_g=sample.sd_g, least_mean_g=least_mean_g,
        average=Outcome.NOT_ASKED if alone else sample.mean_against(least_mean_g),
        limit_g=limit_g, short=short, bound_g=None, far_short=0,
        individual=Outcome.FAILED if short > allowed else within,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Sample:
    """The masses that were weighed, in their order."""

    net_g: tuple[float, ...]
    lot_size: int
    mean_g: float
    sd_g: float | None

    @classmethod
    def of(cls, net_g: Sequence[float], lot_size: int) -> "_Sample":
        if not 1 <= len(net_g) <= lot_size:
            msg = f"{len(net_g)} masses of a lot of {lot_size}"
            raise ValueError(msg)
        masses = tuple(not_negative(one, "net_g") for one in net_g)
        return cls(masses, lot_size, fmean(masses), stdev(masses) if len(masses) > 1 else None)

    @property
    def count(self) -> int:
        return len(self.net_g)

    def below(self, limit_g: float) -> tuple[bool, ...]:
        return tuple(limit_g - one > _SLACK_G for one in self.net_g)

    def mean_against(self, least_g: float | None) -> Outcome:
        if least_g is None:
            return Outcome.TOO_FEW
        return Outcome.FAILED if least_g - self.mean_g > _SLACK_G else Outcome.PASSED
