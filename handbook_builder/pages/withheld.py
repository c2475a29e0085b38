"""What the floor edition withholds from the words of the records: names and amounts of money.

The views of that edition are given no money and no names to begin with. This is for what people
wrote themselves: a note that names a supplier, a recipient, or what something cost.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any, Final

from handbook_builder.pages.page import Page
from handbook_builder.studio.studio import Studio
from handbook_builder.words import Words

# Fields that name a page or a file of the site: links would lead nowhere without them.
_ADDRESSES: Final = frozenset({"path", "id", "folder", "view", "boost"})
_PLAIN: Final = frozenset({int, float, bool, type(None), date, datetime, time, Decimal})
# What follows a measured number: a unit, or the doubt of it. "In" is too often no inch.
_UNITS: Final = (
    "g|kg|mg|oz|lb|mm|cm|m|ml|cl|l|fl|g/h|g/ml|c|f|k|degc|degf|h|min|s|d|days?|weeks?|pcs|w"
)
_NUMBER: Final = re.compile(
    rf"(?<![\d.,])\d+[.,]\d\d(?!\d|[.,]\d|\s*(?:%|±|°|(?:{_UNITS})\b))", re.IGNORECASE
)

# A pound of wax is no money.
_WEIGHTS: Final = frozenset({"pound", "pounds"})

Clean = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Withheld:
    """What may not be told: names by what is said in their place, and amounts of money.

    `ordinary` are the words of the handbook's own sentences, `written` the texts of the records.
    """

    names: Mapping[str, str]
    amounts: frozenset[str]
    currency: tuple[str, ...]
    amount: str
    ordinary: frozenset[str]
    written: frozenset[str]


def withheld(studio: Studio, words: Words) -> Withheld:
    """Return what the floor edition of a studio withholds.

    A recipient who helps at the bench is no secret there. A name that is one ordinary word of the
    handbook's own sentences cannot be told from it, and is withheld only where it stands alone.
    """
    said = words.phrases["pages"]["withheld"]
    recipients = {
        one.to for batch in studio.batches.values() for one in batch.given
    } - studio.helpers.keys()
    names = dict.fromkeys(sorted(recipients), str(said["recipient"]))
    names |= dict.fromkeys(sorted(studio.suppliers), str(said["supplier"]))
    return Withheld(
        names=names,
        amounts=frozenset(_on_file(studio)),
        currency=tuple(_signs(studio.info.currency)),
        amount=str(said["amount"]),
        ordinary=frozenset(_words_of(words.phrases)),
        written=frozenset(_texts(studio)),
    )


def _texts(value: object) -> Iterator[str]:
    """Yield every text of two words or more that stands in the records, whole and by its lines."""
    if isinstance(value, str):
        yield from (one for one in (value.strip(), *value.split("\n")) if " " in one)
    elif isinstance(value, Mapping):
        for one in value.values():
            yield from _texts(one)
    elif isinstance(value, tuple):
        for one in value:
            yield from _texts(one)
    elif is_dataclass(value):
        for part in fields(value):
            if part.name != "places":
                yield from _texts(getattr(value, part.name))


def _words_of(phrases: object) -> Iterator[str]:
    if isinstance(phrases, Mapping):
        for one in phrases.values():
            yield from _words_of(one)
    elif isinstance(phrases, list):
        for one in phrases:
            yield from _words_of(one)
    else:
        yield from (word.casefold() for word in re.findall(r"\w+", str(phrases)))


def _on_file(studio: Studio) -> Iterator[str]:
    """Yield every amount on file, as a person writes it: 61.30."""
    info = studio.info
    for amount in _amounts(studio, (info.labour, info.overhead)):
        yield f"{amount:.2f}"


def _amounts(studio: Studio, own: Iterable[Decimal | None]) -> Iterator[Decimal]:
    bills = [one for bill in studio.purchases.values() for one in (bill.freight, bill.duty)]
    yield from (one for one in (*own, *bills) if one)
    yield from (line.price for bill in studio.purchases.values() for line in bill.lines)


def _signs(currency: str) -> Iterator[str]:
    """Yield how people write a currency: EUR, €, euro, euros."""
    from babel.numbers import (  # noqa: PLC0415 -- slow to import, needed for this edition alone
        get_currency_name,
        get_currency_symbol,
    )

    yield currency
    yield get_currency_symbol(currency, locale="en")
    for count in (1, 2):
        name = get_currency_name(currency, count=count, locale="en").split()[-1]
        if name.casefold() not in _WEIGHTS:
            yield from (name.lower(), name.capitalize())


def cleaner(secret: Withheld) -> Clean:
    """Return the function that takes everything withheld out of one text.

    What stands in a record loses every name, and each amount that is on file. In a sentence of
    the handbook's own a number was measured, and an ordinary word is one.
    """
    alone = {name.casefold(): said for name, said in secret.names.items()}
    unnamed, unpriced = _renamer(secret, secret.ordinary), _repricer(secret)
    in_a_record = _of_records(secret)
    whole_first = sorted(secret.written, key=len, reverse=True)
    told = {text: new for text in whole_first if (new := in_a_record(text)) != text}

    @lru_cache(maxsize=65536)
    def clean(text: str) -> str:
        if text.casefold() in alone:
            return alone[text.casefold()]
        for old, new in told.items():
            text = text.replace(old, new)
        return unpriced(unnamed(text))

    return clean


def guide_cleaner(secret: Withheld) -> Clean:
    """Return the function for guides, which are no records: only whole names are withheld."""
    return _renamer(secret, frozenset(_parts(one)[0] for one in secret.names))


def _of_records(secret: Withheld) -> Clean:
    """Return the function for what a record tells: no name, and no amount that is on file."""
    unnamed, unpriced = _renamer(secret, frozenset()), _repricer(secret)

    def amount(found: re.Match[str]) -> str:
        is_known = found.group().replace(",", ".") in secret.amounts
        return secret.amount if is_known else found.group()

    return lambda text: _NUMBER.sub(amount, unpriced(unnamed(text)))


def _renamer(secret: Withheld, keep: frozenset[str]) -> Clean:
    """Return what replaces the names, however they are joined; one-word names in `keep` stay."""
    found = {tuple(_parts(name)): said for name, said in secret.names.items()}
    told = [parts for parts in found if len(parts) > 1 or parts[0] not in keep]
    told.sort(key=len, reverse=True)  # or the shorter of two names would take half of the longer
    names = "|".join(r"[\W_]{1,3}".join(map(re.escape, one)) for one in told) or "(?!)"
    article = r"(?:(?:the|an?)\s+)?"  # or it would be left standing before the other words
    pattern = re.compile(rf"(?<!\w){article}({names})(?!\w)", re.IGNORECASE)
    return lambda text: pattern.sub(lambda hit: found[tuple(_parts(hit[1]))], text)


def _parts(name: str) -> list[str]:
    return re.findall(r"\w+", name.casefold().replace("_", " ")) or [name.casefold()]


def _repricer(secret: Withheld) -> Clean:
    """Return what replaces an amount with its currency before or after it."""
    sign = "|".join(re.escape(one) for one in sorted(set(secret.currency), key=len, reverse=True))
    number = r"\d+(?:[.,]\d+)*"
    pattern = re.compile(rf"(?<!\w)(?:{sign})\s?{number}|{number}\s?(?:{sign})(?!\w)")
    return lambda text: pattern.sub(secret.amount, text)


def clean_page(page: Page, clean: Clean) -> Page:
    """Return the page without anything that is withheld; what has nothing of it stays itself."""
    return _cleaned(page, clean)  # type: ignore[no-any-return]  # a page comes back as a page


def _cleaned(value: Any, clean: Clean) -> Any:  # noqa: ANN401 -- any part of a view
    kind = type(value)
    if kind is str:
        new = clean(value)
        return value if new == value else new  # an equal text may be another object
    if kind in _PLAIN:
        return value
    if isinstance(value, tuple | list):
        return _cleaned_row(value, clean)
    if isinstance(value, Mapping):
        return {key: _cleaned(one, clean) for key, one in value.items()}
    return _cleaned_view(value, clean)


def _cleaned_view(view: Any, clean: Clean) -> Any:  # noqa: ANN401
    changed = {}
    for name in _told_by(type(view)):  # type: ignore[arg-type]  # every class has a hash
        old = getattr(view, name)
        new = _cleaned(old, clean)
        if new is not old:
            changed[name] = new
    return replace(view, **changed) if changed else view


@cache
def _told_by(kind: type) -> tuple[str, ...]:
    """Return the names of what a view tells; of what is no view, none."""
    if not is_dataclass(kind):
        return ()
    return tuple(one.name for one in fields(kind) if one.name not in _ADDRESSES)


def _cleaned_row(row: Any, clean: Clean) -> Any:  # noqa: ANN401
    found = [_cleaned(one, clean) for one in row]
    if all(new is old for new, old in zip(found, row, strict=True)):
        return row
    return type(row)(found) if type(row) in (tuple, list) else type(row)(*found)
