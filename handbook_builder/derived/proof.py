"""What the proof of a product speaks for: its pourings, and the candles that were set aside."""

from dataclasses import dataclass

from handbook_builder.reading.kinds.making import Void
from handbook_builder.studio.protocol import Protocol, looser_than_shipped
from handbook_builder.verdicts.approval import Product
from handbook_builder.verdicts.candles import CandleVerdict


@dataclass(frozen=True, slots=True)
class SetAside:
    """A test candle of a product's make-up that was set aside; `stands` says that it failed."""

    candle: CandleVerdict
    void: Void
    stands: bool


def set_aside(product: Product) -> tuple[SetAside, ...]:
    """Return the candles of a product's make-up that were set aside, in order of their letters."""
    found = (*product.evidence.void, *product.evidence.failed)
    ordered = sorted(found, key=lambda one: (len(one.seen.burn.candle), one.seen.burn.candle))
    return tuple(
        SetAside(one, one.seen.burn.void, stands=bool(one.failures))
        for one in ordered
        if one.seen.is_void and one.seen.burn.void is not None
    )


def plain_proof(product: Product) -> dict[str, object]:
    """Return the same as a plain structure, for other programs."""
    return {
        "pourings": product.evidence.pourings,
        "set_aside": [
            {
                "burn": one.candle.id,
                "candle": one.candle.seen.burn.candle,
                "on": one.void.on.isoformat(),
                "by": one.void.by,
                "why": one.void.why,
                "stands": one.stands,
            }
            for one in set_aside(product)
        ],
    }


def plain_protocol(protocol: Protocol) -> dict[str, object]:
    """Return the protocol in force by its id, and in what it asks less than the shipped one."""
    return {
        "id": protocol.id,
        "loosened": [
            {"key": one.key, "what": one.what, "own": one.own, "shipped": one.shipped}
            for one in looser_than_shipped(protocol)
        ],
    }
