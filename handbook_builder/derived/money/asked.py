"""Prices that somebody asks for: by multiples or by a margin, without which the studio's own."""

from dataclasses import dataclass
from decimal import Decimal

from handbook_builder.derived.account import Account
from handbook_builder.derived.money.account import Money
from handbook_builder.derived.money.pricing import Offer, by_margin, by_multiple, multiples_of
from handbook_builder.derived.money.swaps import Swap, swaps_of


@dataclass(frozen=True, slots=True)
class Asked:
    """The ways of pricing that were asked for; without any, the studio's own multiples."""

    wholesale: Decimal | None
    retail: Decimal | None
    target: Decimal | None


@dataclass(frozen=True, slots=True)
class Offered:
    """A price that was asked for: `name` of its sort, and the multiple or margin it rests on."""

    name: str
    basis: Decimal
    offer: Offer


def offered(account: Account, ident: str, asked: Asked) -> list[Offered]:
    """Return each price that was asked for, as far as the cost is known."""
    studio, cost = account.studio, known_money(account).products[ident].cost.total
    wholesale, retail, target = asked.wholesale, asked.retail, asked.target
    if wholesale is None and retail is None and target is None:
        wholesale, retail = multiples_of(studio)
    by_target = None if target is None else by_margin(studio, cost, target)
    found = (
        ("wholesale", wholesale, by_multiple(studio, cost, wholesale)),
        ("retail", retail, by_multiple(studio, cost, retail)),
        ("target", target, by_target),
    )
    return [Offered(name, basis, offer) for name, basis, offer in found if basis and offer]


def known_money(account: Account) -> Money:
    """Return the money of the owner's own account, which always has it."""
    if account.money is None:
        msg = "an account for the bench has no prices"
        raise ValueError(msg)
    return account.money


def swaps_at(account: Account, ident: str, offers: list[Offered]) -> tuple[Swap, ...]:
    """Return the scent in every vessel, at the last of the prices that were asked for."""
    money = known_money(account)
    offer = offers[-1].offer if offers else None
    product = account.judged.products[ident]
    return swaps_of(account.judged, product, money.costs, money.prices, offer)
