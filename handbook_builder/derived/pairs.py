"""Which test candles are worth a comparison of their own: few, so that the handbook stays small."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from handbook_builder.derived.account import Account
from handbook_builder.verdicts.approval import Burned
from handbook_builder.verdicts.combination import differences, within
from handbook_builder.verdicts.readings import Verdict

# Beyond so many factors no reading can be put down to one of them.
_MOST_DIFFERENCES: Final = 3
_FIRST: Final = (Verdict.PASS, Verdict.FAIL, Verdict.INCOMPLETE, Verdict.BURNING,
                Verdict.LADDER, Verdict.VOID)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pair:
    """Two test candles to be laid side by side, and whose pages lead there.

    `reason` is `former` (two make-ups of one recipe, one after the other) or `failed` (a candle
    that failed, and the nearest make-up that passed).
    """

    reason: str
    one: str
    other: str
    candles: frozenset[str]

    @property
    def id(self) -> str:
        """Return the name of the comparison; no id has two hyphens in a row."""
        return f"{self.one}--{self.other}"


def series_of(account: Account) -> Mapping[str, tuple[str, ...]]:
    """Return the candles of each recipe that has two or more, in the order of their letters."""
    return {
        recipe: tuple(candle.candle.id for candle in sorted(candles, key=_letter))
        for recipe, candles in _by_recipe(account).items()
        if len(candles) > 1
    }


def _letter(one: Burned) -> tuple[int, str, str]:
    candle = one.candle.seen.burn.candle
    return (len(candle), candle, one.candle.id)


def pairs_of(account: Account) -> tuple[Pair, ...]:
    """Return every pair worth a page, each once."""
    groups = [
        group for _, one in sorted(_by_recipe(account).items()) for group in _make_ups(account, one)
    ]
    found = {one.id: one for one in (*_formers(account), *_failures(account, groups))}
    return tuple(found[ident] for ident in sorted(found))


def _by_recipe(account: Account) -> dict[str, list[Burned]]:
    """Return the test candles of each recipe; a misuse burn is laid beside none."""
    found: dict[str, list[Burned]] = defaultdict(list)
    for burn in account.judged.burns.values():
        if not burn.candle.seen.burn.is_misuse:
            found[burn.candle.seen.burn.recipe].append(burn)
    return found


def _make_ups(account: Account, burned: Sequence[Burned]) -> list[list[Burned]]:
    """Return candles of a recipe in groups of one make-up, in the order of pouring."""
    groups: list[list[Burned]] = []
    protocol = account.studio.protocol
    for burn in sorted(burned, key=lambda each: (each.candle.seen.burn.made.on, _letter(each))):
        for group in groups:
            if within(burn.combination, group[0].combination, protocol, 1.0):
                group.append(burn)
                break
        else:
            groups.append([burn])
    return groups


def _spokesman(group: Sequence[Burned]) -> str:
    """Return the candle that tells most of its make-up: passed if any did, and longest burned."""

    def rank(one: Burned) -> tuple[int, int, tuple[int, str, str]]:
        return (_FIRST.index(one.candle.verdict), -len(one.candle.seen.cycles), _letter(one))

    return min(group, key=rank).candle.id


def _formers(account: Account) -> Iterator[Pair]:
    for burned in _by_recipe(account).values():
        for former, later in pairwise(_make_ups(account, burned)):
            candles = frozenset(one.candle.id for one in (*former, *later))
            yield Pair("former", _spokesman(former), _spokesman(later), candles)


def _failures(account: Account, groups: Sequence[Sequence[Burned]]) -> Iterator[Pair]:
    passed = [
        next(burned for burned in group if burned.candle.verdict is Verdict.PASS)
        for group in groups
        if any(burned.candle.verdict is Verdict.PASS for burned in group)
    ]
    for group in groups:
        failed = [burned for burned in group if burned.candle.verdict is Verdict.FAIL]
        nearest = _nearest(account, failed[0], passed) if failed else None
        if nearest is not None:
            candles = frozenset(candle.candle.id for candle in failed)
            yield Pair("failed", failed[0].candle.id, nearest.candle.id, candles)


def _nearest(account: Account, failed: Burned, passed: Sequence[Burned]) -> Burned | None:
    """Return the candle of another make-up that passed and differs least, the vessel least of all.

    None when all differ in more factors than a comparison can tell apart.
    """
    ranked = []
    for candle in passed:
        unlike = differences(failed.combination, candle.combination, account.studio.protocol)
        if 0 < len(unlike) <= _MOST_DIFFERENCES:
            other_vessel = any(difference.factor == "vessel" for difference in unlike)
            ranked.append((len(unlike), other_vessel, candle.candle.id))
    return account.judged.burns[min(ranked)[2]] if ranked else None
