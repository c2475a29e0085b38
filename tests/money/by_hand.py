"""The money of a studio reckoned a second time, in fractions, by code that shares none of ours.

The records are read, and fills are worked out, by the tests' own second reading (`tests/oracle`).
Which candles passed is taken as given: that is no question of money. Rules: figures.md, Money.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from statistics import median

from tests.oracle.match import load_on_wax, net_fill, oil_shares, recipe_waxes
from tests.oracle.read import Book, Record, amounts, quantity, read

COIN = Fraction(1, 100)  # of the demo's currency
WEIGHED = ("waxes", "fragrances", "colorants")
COUNTED = ("vessels", "wicks", "packaging")


def book_of(folder: Path) -> Book:
    """Return the records in a folder."""
    files = {
        path.relative_to(folder).as_posix(): path.read_text("utf-8")
        for path in sorted(folder.rglob("*.md"))
    }
    return read(files)


def shared(total: Fraction, weights: list[Fraction], coin: Fraction = COIN) -> list[Fraction]:
    """Return a sum shared by weight in whole coins: largest remainders, ties to the first."""
    coins, whole = total / coin, sum(weights)
    shares = [math.floor(coins * one / whole) for one in weights]
    order = sorted(
        range(len(weights)), key=lambda at: -((coins * weights[at] / whole) - shares[at])
    )
    for at in order[: int(coins) - sum(shares)]:
        shares[at] += 1
    return [one * coin for one in shares]


@dataclass(frozen=True)
class Delivered:
    """One line of a bill: grams or pieces, its shares, and what one gram or piece came to."""

    bill: str
    on: str
    amount: Fraction
    price: Fraction
    freight: Fraction
    duty: Fraction

    @property
    def each(self) -> Fraction:
        """Return what one gram or piece cost delivered."""
        return (self.price + self.freight + self.duty) / self.amount


def pieces(text: str) -> Fraction:
    """Return `24` or `24 pcs`."""
    return Fraction(text.split(maxsplit=1)[0])


def mass_of(book: Book, line: Record) -> Fraction | None:
    """Return the mass of a line in grams; of pieces, when the empty mass of one is known."""
    kind, name = line["item"].split("/")
    if kind in WEIGHED:
        return quantity(line["quantity"])
    each = book[kind][name].get("empty_mass")
    return None if each is None else pieces(line["quantity"]) * quantity(each)


def deliveries(book: Book, until: str) -> dict[str, list[Delivered]]:
    """Return every line that was bought by a day, by item, the oldest first."""
    found: dict[str, list[Delivered]] = {}
    for name, bill in sorted(book["purchases"].items(), key=lambda one: (one[1]["on"], one[0])):
        if bill["on"] > until:
            continue
        lines = bill["lines"]
        values = [Fraction(line["price"]) for line in lines]
        weighed = [mass_of(book, line) for line in lines]
        by_value = bill.get("spread") == "value" or None in weighed
        weights = values if by_value else [one for one in weighed if one is not None]
        freight = shared(Fraction(bill.get("freight", 0)), weights)
        duty = shared(Fraction(bill.get("duty", 0)), values)
        for line, price, carried, levied in zip(lines, values, freight, duty, strict=True):
            kind = line["item"].split("/")[0]
            count = quantity if kind in WEIGHED else pieces
            one = Delivered(name, bill["on"], count(line["quantity"]), price, carried, levied)
            found.setdefault(line["item"], []).append(one)
    return found


def mean_each(lines: list[Delivered]) -> Fraction:
    """Return the mean by quantity."""
    return sum(one.each * one.amount for one in lines) / sum(one.amount for one in lines)


def newest(lines: list[Delivered]) -> Fraction:
    """Return what one gram or piece cost when it was bought last."""
    return mean_each([one for one in lines if one.on == lines[-1].on])


@dataclass(frozen=True)
class Sums:
    """All that is known of money on a day."""

    book: Book
    bought: Mapping[str, list[Delivered]]

    @property
    def studio(self) -> Record:
        """Return the studio's own record."""
        return self.book["studio"]["studio"]

    def unit(self, item: str) -> Fraction:
        """Return the price in force: the demo reckons with the newest."""
        return newest(self.delivered(item))

    def delivered(self, item: str) -> list[Delivered]:
        """Return the lines of an item; of a vessel that was not bought, what was quoted for it."""
        if item in self.bought:
            return self.bought[item]
        quote = self.book["vessels"][item.partition("/")[2]]["quote"]
        count = Fraction(quote["minimum"])
        goods, freight = Fraction(quote["price"]) * count, Fraction(quote.get("freight", "0"))
        return [Delivered("", quote["on"], count, goods, freight, Fraction(0))]

    def broken(self, vessel: str) -> Fraction:
        """Return the share of vessels that break: the vessel's own, else the studio's."""
        studio = self.studio.get("breakage", "0 %")
        return quantity(self.book["vessels"][vessel].get("breakage", studio))

    def lines(self, recipe: Record) -> dict[str, Fraction]:
        """Return the cost of one candle, line by line, to the hundredth of a coin."""
        net = net_fill(self.book, recipe)
        dyes, oils = amounts(recipe.get("colorant")), oil_shares(recipe)
        wax = net * (1 - sum(oils.values())) / (1 + sum(dyes.values()))
        in_pitcher = 1 - quantity(self.studio["pitcher_loss"])
        vessel = self.unit(f"vessels/{recipe['vessel']}")
        broken = self.broken(recipe["vessel"])
        boxes = recipe.get("packaging", {}).items()
        minutes = Fraction(str(recipe.get("minutes", "0")).removesuffix("min").strip())
        exact = {
            "wax": self._grams("waxes", recipe_waxes(recipe), wax) / in_pitcher,
            "fragrance": self._grams("fragrances", oils, net) / in_pitcher,
            "colorant": self._grams("colorants", dyes, wax) / in_pitcher,
            "vessel": vessel,
            "breakage": vessel * broken / (1 - broken),
            "wick": self.unit(f"wicks/{recipe['wick']}") * int(recipe.get("wicks", "1")),
            "packaging": sum(
                (self.unit(f"packaging/{one}") * int(n) for one, n in boxes), Fraction(0)
            ),
            "labour": Fraction(self.studio["labour"]) * minutes / 60,
            "overhead": Fraction(self.studio["overhead"]),
        }
        return {name: round(one, 4) for name, one in exact.items()}

    def _grams(self, kind: str, shares: Mapping[str, Fraction], of: Fraction) -> Fraction:
        return sum(
            (share * of * self.unit(f"{kind}/{one}") for one, share in shares.items()), Fraction(0)
        )

    def total(self, recipe: Record) -> Fraction:
        """Return the cost of one candle."""
        return sum(self.lines(recipe).values(), Fraction(0))

    def moved(self, recipe: Record, vessel: str) -> Fraction:
        """Return the cost of the same make-up filled to the line of another vessel."""
        return self.total(recipe | {"vessel": vessel, "fill": "to_line"})


def up_to_coin(price: Fraction) -> Fraction:
    """Return the next whole coin up."""
    return math.ceil(price / COIN) * COIN


def hours_of(burn: Record) -> Fraction:
    """Return how long a test candle burned."""
    return sum((quantity(one["burned"]) for one in burn["cycles"]), Fraction(0))


def mean(values: list[Fraction]) -> Fraction:
    """Return the mean."""
    return sum(values, Fraction(0)) / len(values)


def middle(values: list[Fraction]) -> Fraction:
    """Return the median."""
    return Fraction(median(values))


__all__ = [
    "COIN", "Delivered", "Sums", "book_of", "deliveries", "hours_of", "load_on_wax", "mean",
    "middle", "newest", "shared", "up_to_coin",
]  # fmt: skip
