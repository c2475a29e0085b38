"""What was asked of the maker or the supplier of an item, and what a vessel would cost."""

from datetime import date
from decimal import Decimal

from handbook_builder.reading.fields import count, day, money, text
from handbook_builder.reading.lists import one_or_many
from handbook_builder.reading.shape import optional, required, shape


@shape
class Asked:
    """One question: when it was sent, when it was asked again, when and by whom answered."""

    what: str = required(text, "what was asked")
    on: date = required(day, "a date")
    reminded: tuple[date, ...] = optional(one_or_many(day), ())
    answered: date | None = optional(day)
    by: str | None = optional(text)


@shape
class Quote:
    """What a supplier asks for a vessel that was not bought yet: for each, and for the freight."""

    on: date = required(day, "a date")
    price: Decimal = required(money, "the price of one")
    minimum: int = required(count(1), "how many at the least")
    freight: Decimal | None = optional(money)
