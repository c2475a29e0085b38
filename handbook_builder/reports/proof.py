"""What the proof of a product rests on, and by which rules it was judged."""

from handbook_builder.derived.proof import set_aside
from handbook_builder.reports.plain import fields_of
from handbook_builder.studio.protocol import Protocol, looser_than_shipped
from handbook_builder.verdicts.approval import Product


def proof_told(product: Product) -> dict[str, object]:
    """Return on how many days the passed candles were poured, and which were set aside."""
    return {
        "pourings": product.evidence.pourings,
        "set_aside": [
            {
                "burn": aside.candle.id,
                "candle": aside.candle.seen.burn.candle,
                "stands": aside.stands,
                **fields_of(aside.void),
            }
            for aside in set_aside(product)
        ],
    }


def protocol_told(protocol: Protocol) -> dict[str, object]:
    """Return the protocol in force by its id, and in what it asks less than the shipped one."""
    return {"id": protocol.id, "loosened": tuple(looser_than_shipped(protocol))}
