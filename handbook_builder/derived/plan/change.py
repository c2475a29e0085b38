"""What a change that is coming brings down: an oil reformulated, a vessel of another make.

The change is made, on a copy of the records, and everything is judged again.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from math import fsum
from types import MappingProxyType
from typing import Any

from handbook_builder.derived.account import Account
from handbook_builder.derived.plan.nearest import Worst, in_order, worst_of
from handbook_builder.derived.plan.needs import Need, needs_of, together
from handbook_builder.derived.plan.proof import LifeOfOne, life_of
from handbook_builder.figures.schedule import cycles_for
from handbook_builder.reading.kinds.making import items_of
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.approval import SUSPENDING, Product, Status
from handbook_builder.verdicts.combination import code_of_combination
from handbook_builder.verdicts.judge import judge
from handbook_builder.verdicts.more_tests import PAST_TESTING
from handbook_builder.verdicts.reason import Reason

# What is asked for at the supplier or the maker: papers of an oil, the word about a wick.
_PAPERS = frozenset({"certificate_missing", "safety_sheet_missing", "lead_free_missing"})


@dataclass(frozen=True, slots=True)
class Stock:
    """A batch of a product: how many were made, are out, and are at hand."""

    batch: str
    on: date
    made: int
    out: int
    at_hand: int


@dataclass(frozen=True, slots=True)
class Touched:
    """A product that holds the item: how it stood, how it would stand, and what it then lacks.

    `lost` is how many candles that passed or burn would speak of a former make. `new` is what it
    would lack that it does not lack now. `again` is how many candles would have to pass anew,
    `cycles` how often each would be lit, and `twin_of` the product before it that is the same
    candle, whose proof would serve for both.
    """

    product: Product
    after: Status
    lost: int
    new: tuple[Reason, ...]
    stock: tuple[Stock, ...]
    again: int
    life: LifeOfOne | None
    cycles: int | None
    needs: tuple[Need, ...]
    twin_of: str | None

    @property
    def falls(self) -> bool:
        """Return whether it is approved, and would not be."""
        return self.product.status is Status.APPROVED and self.after is not Status.APPROVED

    @property
    def burning_h(self) -> float | None:
        """Return the hours that its new proof would burn; None while no life is known."""
        return None if self.life is None else self.again * self.life.hours_h

    @property
    def lit(self) -> int | None:
        """Return how often candles of its new proof would be lit; None while no life is known."""
        return None if self.cycles is None else self.again * self.cycles


@dataclass(frozen=True, slots=True)
class Change:
    """What a change of an item on a day would bring down.

    `ask` are the papers to ask for again, `vessel` what its screening would lack. `first` is the
    order in which the proofs of what falls are best burned. `needs` are those of all new proofs.
    """

    item: Ref
    spec: int
    on: date
    touched: tuple[Touched, ...]
    ask: tuple[Reason, ...]
    vessel: tuple[Reason, ...]
    first: tuple[Worst, ...]
    needs: tuple[Need, ...]

    @property
    def proofs(self) -> tuple[Touched, ...]:
        """Return what must be proven anew, each candle once."""
        return tuple(one for one in self.touched if one.again and one.twin_of is None)

    @property
    def burning_h(self) -> float | None:
        """Return the hours of all new proofs, as far as any is known; None while none is."""
        known = [one.burning_h for one in self.proofs if one.burning_h is not None]
        return fsum(known) if known else None


def change_of(account: Account, item: Ref) -> Change:
    """Return what falls if another make of `item` is sold from the day of the account on."""
    studio, day = account.studio, account.judged.as_of
    changed = with_spec_raised(studio, item, day)
    after = judge(changed, day)
    touched = tuple(_touched(account, after.products, item))
    vessel: tuple[Reason, ...] = ()
    if item.folder == "vessels":
        known = account.judged.vessels[item.id].reasons
        vessel = _not_in(known, after.vessels[item.id].reasons)
    asked = {_told(one): one for each in touched for one in each.new if one.code in _PAPERS}
    return Change(
        item=item,
        spec=studio.item(item).spec + 1,
        on=day,
        touched=touched,
        ask=tuple(asked.values()),
        vessel=vessel,
        first=in_order(worst_of(account, one.product) for one in touched
                       if one.again and one.twin_of is None),
        needs=together(tuple(one.needs for one in touched if one.twin_of is None)),
    )  # fmt: skip


def with_spec_raised(studio: Studio, item: Ref, day: date) -> Studio:
    """Return the studio with one more specification of an item, sold from `day` on."""
    old = studio.item(item)
    new = replace(old, spec=old.spec + 1, spec_since=(*old.spec_since, day))
    items = MappingProxyType({**getattr(studio, item.folder), item.id: new})
    folder: dict[str, Any] = {item.folder: items}
    return replace(studio, **folder)


def _touched(account: Account, after: Mapping[str, Product], item: Ref) -> Iterator[Touched]:
    seen: dict[str, str] = {}
    for ident, product in account.judged.products.items():
        if item in set(items_of(product.recipe)):
            then = after[ident]
            code = code_of_combination(then.combination)
            yield _one(account, product, then, seen.get(code))
            seen.setdefault(code, ident)


def _one(account: Account, product: Product, then: Product, twin: str | None) -> Touched:
    studio, day = account.studio, account.judged.as_of
    again = _again(account, product, then)
    life = life_of(account, product)
    weights = account.products[product.recipe.source.id].masses
    return Touched(
        product=product,
        after=then.status,
        lost=_lost(product, then),
        new=_not_in(product.missing, then.missing),
        stock=tuple(_stock(account, product)),
        again=again,
        life=life,
        cycles=None if life is None else cycles_for(life.hours_h, studio.protocol.cycle_h),
        needs=needs_of(studio, day, product.recipe, weights, again) if again else (),
        twin_of=twin,
    )


def _not_in(known: tuple[Reason, ...], found: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Return the reasons found that are not known: of another code, or of another record."""
    told = {_told(one) for one in known}
    return tuple(one for one in found if _told(one) not in told)


def _told(reason: Reason) -> tuple[str, str]:
    return (reason.code, reason.place.file)


def _again(account: Account, product: Product, then: Product) -> int:
    """Return how many candles must pass anew; of what no test could bring on, none."""
    is_over = any(one.code in PAST_TESTING - SUSPENDING for one in product.missing)
    if is_over or not _lost(product, then):
        return 0
    return account.studio.protocol.test_candles - len(then.evidence.passed)


def _lost(product: Product, then: Product) -> int:
    """Return how many candles that passed or burn would be of a former make."""
    before, after = product.evidence, then.evidence
    return len((*before.passed, *before.burning)) - len((*after.passed, *after.burning))


def _stock(account: Account, product: Product) -> Iterator[Stock]:
    for ident, figures in account.batches.items():
        batch = account.studio.batches[ident]
        if batch.recipe == product.recipe.source.id:
            yield Stock(ident, batch.on, figures.made, figures.given, figures.left)
