"""What things cost the studio: landed prices from its bills, and one candle line by line."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from handbook_builder.figures.cost import (
    PricedLine,
    apportion,
    candle_cost_lines,
    currency_decimals,
    landed_unit_cost,
    mean_price,
    newest_price,
)
from handbook_builder.figures.load import Masses
from handbook_builder.figures.price import breakage_cost, share_of
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.kinds.trade import Counted, Line, Purchase
from handbook_builder.reading.refs import ITEM_FOLDERS, Ref
from handbook_builder.studio.found import bills_in_order
from handbook_builder.studio.links import mass_of_line_g
from handbook_builder.studio.studio import Studio


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of a bill as it landed: `quantity` and `unit_cost` are of grams or pieces."""

    purchase: str
    supplier: str
    on: date
    line: Line
    quantity: Decimal
    freight: Decimal
    duty: Decimal
    unit_cost: Decimal

    @property
    def landed(self) -> Decimal:
        """Return what the whole line cost delivered."""
        return self.line.price + self.freight + self.duty


@dataclass(frozen=True, slots=True)
class Price:
    """The landed cost of one gram or one piece: the newest, and the mean of twelve months.

    The shares are of the newest one: how much of it is freight, and how much duty. A price that
    `is_quote` was offered and never paid: of a vessel that was not bought yet.
    """

    newest: Decimal
    mean: Decimal | None
    on: date
    purchase: str
    freight_share: Decimal
    duty_share: Decimal
    is_quote: bool = False

    def chosen(self, costing: str) -> Decimal:
        """Return the price that the studio reckons with."""
        return self.mean if costing == "mean" and self.mean is not None else self.newest


@dataclass(frozen=True, slots=True)
class Prices:
    """Every price known on a day, by item; what was never bought has none."""

    day: date
    by_item: Mapping[Ref, Price]
    history: Mapping[Ref, tuple[Bought, ...]]


@dataclass(frozen=True, slots=True)
class CandleCost:
    """What one candle costs, line by line; `unpriced` names what has no price yet.

    `total` is None as long as anything is unpriced: a sum without a part would mislead.
    """

    lines: Mapping[str, Decimal]
    total: Decimal | None
    unpriced: tuple[Ref, ...]


def prices_on(studio: Studio, day: date) -> Prices:
    """Return the landed price of every item bought on or before `day`."""
    history: dict[Ref, list[Bought]] = defaultdict(list)
    for ident, purchase in bills_in_order(studio):
        if purchase.on <= day:
            for line in landed_lines(studio, ident, purchase):
                history[line.line.item].append(line)
    prices = _quoted(studio, day) | {item: _price(lines, day) for item, lines in history.items()}
    sealed = {item: tuple(lines) for item, lines in history.items()}
    return Prices(day, MappingProxyType(prices), MappingProxyType(sealed))


def _quoted(studio: Studio, day: date) -> dict[Ref, Price]:
    """Return what each vessel would cost that was quoted by the day, freight shared by all."""
    found = {}
    for ident, vessel in studio.vessels.items():
        quote = vessel.quote
        if quote is not None and quote.on <= day:
            goods, freight = quote.price * quote.minimum, quote.freight or Decimal(0)
            unit = landed_unit_cost(goods, freight, Decimal(quote.minimum))
            share = share_of(freight, goods + freight)
            item = Ref.to("vessels", ident)
            found[item] = Price(unit, None, quote.on, "", share, Decimal(0), is_quote=True)
    return found


def _price(lines: list[Bought], day: date) -> Price:
    last = lines[-1]
    priced = [PricedLine(line.on, line.quantity, line.unit_cost) for line in lines]
    newest = newest_price(priced, day)
    if newest is None:  # pragma: no cover -- only lines of that day or before come here
        msg = "no price among prices"
        raise ValueError(msg)
    of_that_day = [line for line in lines if line.on == last.on]
    landed, freight, duty = (
        sum((getattr(bought, part) for bought in of_that_day), Decimal(0))
        for part in ("landed", "freight", "duty")
    )
    return Price(
        newest,
        mean_price(priced, day),
        last.on,
        last.purchase,
        share_of(freight, landed),
        share_of(duty, landed),
    )


def landed_lines(studio: Studio, ident: str, purchase: Purchase) -> Iterator[Bought]:
    """Yield each line of a bill with its shares of freight and duty, and its landed unit cost.

    Freight and duty are shared to the last unit of the currency: the shares add up to the bill.
    """
    decimals = currency_decimals(studio.info.currency)
    weights = _weights(studio, purchase)
    freight = apportion(purchase.freight or Decimal(0), weights, decimals)
    values = [line.price for line in purchase.lines]
    # Duty is levied on what the goods are worth, whatever they weigh.
    duty = apportion(purchase.duty or Decimal(0), values, decimals)
    for line, its_freight, its_duty in zip(purchase.lines, freight, duty, strict=True):
        quantity = quantity_of(studio, line)
        unit = landed_unit_cost(line.price, its_freight + its_duty, quantity)
        yield Bought(
            ident, purchase.supplier, purchase.on, line, quantity, its_freight, its_duty, unit
        )


def quantity_of(studio: Studio, line: Line | Counted) -> Decimal:
    """Return how much was bought or counted, in grams or pieces."""
    mass_g = mass_of_line_g(_records(studio), line) if line.item.is_weighed else None
    return Decimal(str(line.quantity.value if mass_g is None else mass_g))


def _records(studio: Studio) -> Mapping[str, Mapping[str, object]]:
    return {folder: getattr(studio, folder) for folder in ITEM_FOLDERS}


def _weights(studio: Studio, purchase: Purchase) -> list[Decimal]:
    """Return what freight is shared by: mass when every line's is known, else value."""
    found = [mass_of_line_g(_records(studio), line) for line in purchase.lines]
    by_mass = [Decimal(str(one)) for one in found if one is not None]
    if purchase.spread != "value" and len(by_mass) == len(found):
        return by_mass
    return [line.price for line in purchase.lines]


def candle_cost(studio: Studio, recipe: Recipe, weights: Masses, prices: Prices) -> CandleCost:
    """Return what one candle of `recipe` costs at the prices in force."""
    parts = _parts(recipe, weights)
    items = [item for used in parts.values() for item in used]
    unpriced = tuple(item for item in items if item not in prices.by_item)
    costing = studio.info.costing
    chosen = {
        item: prices.by_item[item].chosen(costing) for item in items if item in prices.by_item
    }
    priced = {
        name: tuple((amount, chosen[item]) for item, amount in used.items() if item in chosen)
        for name, used in parts.items()
    }
    decimals = currency_decimals(studio.info.currency)
    lines = candle_cost_lines(
        **priced,
        labour=_labour(studio, recipe),
        overhead=studio.info.overhead or Decimal(0),
        pitcher_loss=Decimal(str(studio.info.pitcher_loss)),
        decimals=decimals,
    )
    vessel = chosen.get(Ref.to("vessels", recipe.vessel), Decimal(0))
    share = breakage_of(studio, recipe.vessel)
    lines = _with_breakage(lines, breakage_cost(vessel, share, lines["vessel"]))
    total = None if unpriced else sum(lines.values(), Decimal(0))
    return CandleCost(MappingProxyType(lines), total, unpriced)


def breakage_of(studio: Studio, vessel: str) -> Decimal:
    """Return the share of these vessels that never become a candle, the vessel's own first."""
    own = studio.vessels[vessel].breakage
    return Decimal(str(studio.info.breakage if own is None else own))


def _with_breakage(lines: Mapping[str, Decimal], breakage: Decimal) -> dict[str, Decimal]:
    """Return the lines with one for broken vessels after the vessel's."""
    found: dict[str, Decimal] = {}
    for name, cost in lines.items():
        found[name] = cost
        if name == "vessel":
            found["breakage"] = breakage
    return found


def _parts(recipe: Recipe, weights: Masses) -> dict[str, dict[Ref, Decimal]]:
    """Return how much of each item goes into one candle: grams, or pieces."""

    def grams(folder: str, masses_g: Mapping[str, float]) -> dict[Ref, Decimal]:
        return {Ref.to(folder, ident): Decimal(str(mass)) for ident, mass in masses_g.items()}

    return {
        "wax": grams("waxes", weights.wax_g),
        "fragrance": grams("fragrances", weights.fragrance_g),
        "colorant": grams("colorants", weights.colorant_g),
        "vessel": {Ref.to("vessels", recipe.vessel): Decimal(1)},
        "wick": {Ref.to("wicks", recipe.wick): Decimal(recipe.wicks)},
        "packaging": {Ref.to("packaging", one): Decimal(n) for one, n in recipe.packaging.items()},
    }


def _labour(studio: Studio, recipe: Recipe) -> Decimal:
    if studio.info.labour is None or recipe.minutes is None:
        return Decimal(0)
    return studio.info.labour * Decimal(str(recipe.minutes)) / 60
