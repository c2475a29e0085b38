"""What each channel of the studio asks for a candle, and what is left of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from handbook_builder.derived.money.pricing import decimals_of
from handbook_builder.figures.channel import Sale, Terms, sale
from handbook_builder.reading.kinds.house import Channel
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Channelled:
    """A candle in one channel: `left` of what is received after the cost, and its margin.

    The margin is a share of the price before tax: the tax was never the studio's.
    """

    multiple: Decimal
    sale: Sale
    left: Decimal
    margin: Decimal | None


def channelled(studio: Studio, cost: Decimal | None) -> Mapping[str, Channelled]:
    """Return the price in each channel that has a multiple and whose terms leave anything.

    A channel without a multiple of its own takes the studio's for retail. What is received is at
    least the cost times the multiple.
    """
    if cost is None:
        return MappingProxyType({})
    found = ((name, _in(studio, cost, one)) for name, one in studio.info.channels.items())
    return MappingProxyType({name: one for name, one in found if one is not None})


def without_price(studio: Studio, cost: Decimal | None) -> Mapping[str, str]:
    """Return each channel that has no price by its own terms, and why.

    `no_multiple` where neither it nor the studio has one; `nothing_left` where its terms take all.
    """
    known = channelled(studio, cost)
    found: dict[str, str] = {}
    for name, one in studio.info.channels.items():
        if one.multiple is None and studio.info.retail_multiple is None:
            found[name] = "no_multiple"
        elif cost is not None and name not in known:
            found[name] = "nothing_left"
    return MappingProxyType(found)


def _in(studio: Studio, cost: Decimal, channel: Channel) -> Channelled | None:
    chosen = channel.multiple or studio.info.retail_multiple
    if chosen is None:
        return None
    multiple, coin = Decimal(str(chosen)), Decimal(1).scaleb(-decimals_of(studio))
    sold = sale(cost * multiple, _terms(channel, coin), coin)
    if sold is None:
        return None
    left = sold.received - cost
    of_price = left / sold.before_tax if sold.before_tax else None
    return Channelled(multiple, sold, left, of_price)


def _terms(channel: Channel, coin: Decimal) -> Terms:
    return Terms(
        tax=Decimal(str(channel.tax)),
        fee=Decimal(str(channel.fee)),
        fee_each=channel.fee_each or Decimal(0),
        commission=Decimal(str(channel.commission)),
        step=channel.step or coin,
    )
