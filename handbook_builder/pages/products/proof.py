"""What the odds speak for: the days of pouring, what was set aside, and what was loosened."""

from dataclasses import dataclass

from handbook_builder.derived.proof import SetAside, set_aside
from handbook_builder.pages.desk import Desk, Link
from handbook_builder.pages.reference import bound_shown
from handbook_builder.studio.protocol import Looser, Protocol, in_force, looser_than_shipped
from handbook_builder.verdicts.approval import Product

_PERCENT = frozenset({"load_tolerance", "fill_tolerance", "balance", "min_opening"})


@dataclass(frozen=True, slots=True)
class AsideTold:
    """A candle that was set aside: by whom, when and why, and whether its failure stands."""

    link: Link
    sentence: str


@dataclass(frozen=True, slots=True)
class Proof:
    """What stands beside the verdict of a product and limits it."""

    poured: str
    aside: tuple[AsideTold, ...]
    loosened: str


def proof_of(desk: Desk, product: Product) -> Proof:
    """Return what limits the evidence of a product, in words."""
    days = product.evidence.pourings
    return Proof(
        poured=desk.phrase(f"odds.poured.{'one' if days == 1 else 'many'}", days=days),
        aside=tuple(_aside(desk, aside) for aside in set_aside(product)),
        loosened=loosened(desk),
    )


def limits_of_odds(proof: Proof) -> str:
    """Return what the sentence of the odds must add: nothing, when nothing was set aside."""
    told = (
        *(aside.sentence for aside in proof.aside),
        *([proof.loosened] if proof.loosened else ()),
    )
    return "".join(f" {drawn}" for drawn in told)


def _aside(desk: Desk, one: SetAside) -> AsideTold:
    sentence = desk.phrase(
        f"set_aside.{'stands' if one.stands else 'aside'}",
        candle=one.candle.seen.burn.candle,
        on=desk.words.day(one.void.on),
        by=one.void.by,
        why=one.void.why.rstrip("."),
    )
    return AsideTold(desk.test(one.candle.id), sentence)


def loosened(desk: Desk) -> str:
    """Return in what the protocol in force asks less than the shipped one, or nothing."""
    found = looser_than_shipped(desk.studio.protocol)
    if not found:
        return ""
    told = "; ".join(_looser(desk, one) for one in found)
    return desk.phrase("looser.lead", protocol=desk.studio.protocol.id, told=told)


def _looser(desk: Desk, one: Looser) -> str:
    if one.key == "needs":
        return desk.phrase("looser.needs", what=one.what.replace("_", "-"))
    own, shipped = _shown(desk, one, desk.studio.protocol), _shown(desk, one, in_force(None))
    if one.key == "limits":
        what = desk.words.measure(one.what).lower()
    else:
        what = desk.words.seen(one.what) if one.what else ""
    return desk.phrase(f"looser.{one.key}", what=what, own=own, shipped=shipped)


def _shown(desk: Desk, one: Looser, protocol: Protocol) -> str:
    """Return the value of a loosened rule in one of the two protocols."""
    value = one.own if protocol is desk.studio.protocol else one.shipped
    if one.key == "limits":
        bounds = (limit for limit in protocol.limits if limit.measure == one.what)
        return next(bound_shown(desk, bound) for bound in bounds if bound.bound == value)
    if one.key == "observations":
        return desk.phrase(f"looser.words.{value}")
    if not isinstance(value, float):
        return str(value)
    if one.key in _PERCENT:
        return desk.words.percent(value)
    return desk.words.quantity(value, one.key.rpartition("_")[2])
