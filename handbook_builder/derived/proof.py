"""What the proof of a product speaks for: its pourings, and the candles that were set aside."""

from dataclasses import dataclass

from handbook_builder.reading.kinds.making import Void
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
        SetAside(candle, candle.seen.burn.void, stands=bool(candle.failures))
        for candle in ordered
        if candle.seen.is_void and candle.seen.burn.void is not None
    )
