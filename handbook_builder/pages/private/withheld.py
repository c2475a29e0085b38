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
from itertools import chain
from pathlib import Path
from typing import Any, Final

from handbook_builder.pages.page import Page
from handbook_builder.pages.private.amounts import AmountFinder, Care
from handbook_builder.pages.private.spellings import (
    Hit,
    NameFinder,
    apart,
    folded,
    parts_of,
    replaced,
    telling_parts,
)
from handbook_builder.studio.studio import Studio
from handbook_builder.words import Words

# Fields that name a page or a file of the site: links would lead nowhere without them.
_ADDRESSES: Final = frozenset({"path", "id", "folder", "view", "boost"})
# Of where a record was written: what no page of that edition is told.
_UNTOLD: Final = frozenset({"places", "own"})
_PLAIN: Final = frozenset({int, float, bool, type(None), date, datetime, time, Decimal})
_COMMON: Final = Path(__file__).with_name("common_words.txt")

_HYPHEN_FOR_POINT: Final = re.compile(r"(?<=\d)[-_](?=\d\d(?!\d))")
# What parts the words of a file's name; the hyphens of a date do not, nor those of 62.-
_PARTS_OF_FILE: Final = re.compile(r"[/_]|(?<=[^\W\d_])-|-(?=[^\W\d_])")

# A pound of wax is no money.
_WEIGHTS: Final = frozenset({"pound", "pounds"})

Clean = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Withheld:
    """What may not be told: names by what is said in their place, and amounts of money.

    `parts` are the words of the names that tell them by themselves. `ordinary` are the words of
    the handbook's own sentences and other common ones, `written` the texts of the records.
    """

    names: Mapping[str, str]
    parts: Mapping[str, str]
    amounts: frozenset[Decimal]
    currency: tuple[str, ...]
    amount: str
    ordinary: frozenset[str]
    written: frozenset[str]


def withheld(studio: Studio, words: Words, known: Iterable[str] = ()) -> Withheld:
    """Return what the floor edition of a studio withholds.

    A recipient who helps at the bench is no secret there. A name that is one ordinary word of the
    handbook's own sentences cannot be told from it, and is withheld only where it stands alone.
    `known` are further words that tell nothing by themselves, as the studio says.
    """
    said = words.phrases["pages"]["withheld"]
    recipients = {
        handed.to for batch in studio.batches.values() for handed in batch.given
    } - studio.helpers.keys()
    names = dict.fromkeys(sorted(recipients), str(said["recipient"]))
    names |= dict.fromkeys(sorted(studio.suppliers), str(said["supplier"]))
    ordinary = frozenset(_words_of(words.phrases)) | _common_words()
    common = ordinary | studio.helpers.keys() | {one.casefold() for one in known}
    return Withheld(
        names=names,
        parts={part: said for name, said in names.items() for part in telling_parts(name, common)},
        amounts=frozenset(_on_file(studio)),
        currency=tuple(_signs(studio.info.currency)),
        amount=str(said["amount"]),
        ordinary=ordinary,
        written=frozenset(_texts(studio)),
    )


@cache
def _common_words() -> frozenset[str]:
    lines = _COMMON.read_text("utf-8").split("\n")
    return frozenset(word for line in lines if not line.startswith("#") for word in line.split())


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
            if part.name not in _UNTOLD:
                yield from _texts(getattr(value, part.name))


def _words_of(phrases: object) -> Iterator[str]:
    if isinstance(phrases, Mapping):
        for phrase in phrases.values():
            yield from _words_of(phrase)
    elif isinstance(phrases, list):
        for phrase in phrases:
            yield from _words_of(phrase)
    else:
        yield from (word.casefold() for word in re.findall(r"\w+", str(phrases)))


def _on_file(studio: Studio) -> Iterator[Decimal]:
    """Yield every amount on file."""
    bills = studio.purchases.values()
    added = (amount for bill in bills for amount in (bill.freight, bill.duty))
    yield from (one for one in (studio.info.labour, studio.info.overhead, *added) if one)
    yield from (line.price for bill in bills for line in bill.lines if line.price)
    yield from (one.fee_each for one in studio.info.channels.values() if one.fee_each)
    quotes = (vessel.quote for vessel in studio.vessels.values() if vessel.quote)
    yield from (one for quote in quotes for one in (quote.price, quote.freight) if one)


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


@dataclass(frozen=True, slots=True)
class Finder:
    """Finds in a text what is withheld: names of more than an ordinary word, and sums."""

    names: NameFinder
    amounts: AmountFinder

    def hits(self, text: str, care: Care) -> list[Hit]:
        """Return every stretch of a text that may not be told, in order."""
        plain = folded(text)
        return apart(chain(self.names.hits(plain), self.amounts.hits(plain, care)))

    def clean(self, text: str, care: Care) -> str:
        """Return a text without them."""
        return replaced(text, self.hits(text, care))


def finder(secret: Withheld, *, parts: bool = True, every: bool = False) -> Finder:
    """Return what finds the secrets.

    With `every`, a name is found that is an ordinary word; without `parts`, only whole names.
    """
    names = {tuple(parts_of(name)): said for name, said in secret.names.items()}
    if not every:
        names = {
            one: said
            for one, said in names.items()
            if len(one) > 1 or one[0] not in secret.ordinary
        }
    if parts:
        names = {(one,): said for one, said in secret.parts.items()} | names
    amounts = AmountFinder(secret.amounts, secret.currency, secret.amount)
    return Finder(NameFinder(names), amounts)


@dataclass(frozen=True, slots=True)
class Secrets:
    """What is looked for in the finished files of a floor edition.

    `told` finds what a page may not tell; `whole` is for the shipped guides, whose examples may
    have a word in common with a name; `noted` is for what stands in a record.
    """

    told: Finder
    whole: Finder
    noted: Finder

    def hits(self, text: str, care: Care) -> list[Hit]:
        """Return what a page may not tell, by where its text comes from."""
        return (self.whole if care is Care.NONE else self.told).hits(text, care)

    def beside(self, text: str, guide: str) -> list[Hit]:
        """Return what the page of a shipped guide may not tell: the guide's own words are examples.

        What stands around it, a footer of the studio's own or its name, is no part of the guide.
        """
        plain, own = folded(text), _in_one_line(guide)
        found = [*self.told.names.hits(plain), *self.told.amounts.hits(plain, Care.PAGE)]
        foreign = (one for one in found if _in_one_line(text[one.start : one.end]) not in own)
        return apart(chain(self.whole.names.hits(plain), foreign))

    def clean(self, text: str, care: Care) -> str:
        """Return a text of a page without it."""
        return replaced(text, self.hits(text, care))

    def in_note(self, text: str) -> list[Hit]:
        """Return what a note may not tell."""
        return self.noted.hits(text, Care.HAND)

    def in_attachment(self, text: str) -> list[Hit]:
        """Return what an attachment for helpers may not tell: it goes out as people wrote it."""
        return self.told.hits(text, Care.HAND)

    def of_program(self, text: str) -> list[Hit]:
        """Return what an address or a script may not tell: there, many a sign is no money."""
        plain, amounts = folded(text), self.told.amounts
        return apart(chain(self.told.names.hits(plain), amounts.priced(plain)))

    def of_address(self, text: str) -> list[Hit]:
        """Return what an address may not tell, where a hyphen may stand for a point."""
        return self.of_program(_HYPHEN_FOR_POINT.sub(".", text))

    def of_file(self, path: str) -> list[Hit]:
        """Return what the name of a file may not tell: a person gave it, as they write a note."""
        spaced = _PARTS_OF_FILE.sub(" ", _HYPHEN_FOR_POINT.sub(".", path))
        return self.told.hits(spaced, Care.HAND)

    def names(self, path: str) -> bool:
        """Return whether the name of a file tells anything that it may not."""
        return bool(self.of_file(path))

    def of_data(self, text: str) -> list[Hit]:
        """Return what any other file may not tell."""
        return self.told.hits(text, Care.PAGE)


def _in_one_line(text: str) -> str:
    return " ".join(text.casefold().split())


def secrets_of(secret: Withheld) -> Secrets:
    """Return what a floor edition is cleaned of and searched for."""
    return Secrets(finder(secret), finder(secret, parts=False), finder(secret, every=True))


def cleaner(secret: Withheld) -> Clean:
    """Return the function that takes everything withheld out of one text.

    What stands in a record loses every name, and each amount that is on file. In a sentence of
    the handbook's own a number was measured, and an ordinary word is one.
    """
    alone = {name.casefold(): said for name, said in secret.names.items()}
    told = finder(secret)
    in_a_record = of_records(secret)
    whole_first = sorted(secret.written, key=len, reverse=True)
    changed = {text: new for text in whole_first if (new := in_a_record(text)) != text}

    @lru_cache(maxsize=65536)
    def clean(text: str) -> str:
        if text.casefold() in alone:
            return alone[text.casefold()]
        for old, new in changed.items():
            text = text.replace(old, new)
        return told.clean(text, Care.PAGE)

    return clean


def of_records(secret: Withheld) -> Clean:
    """Return the function for what a record tells: no name, and no amount that is on file."""
    found = finder(secret, every=True)
    return lambda text: found.clean(text, Care.HAND)


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
    return tuple(field.name for field in fields(kind) if field.name not in _ADDRESSES)


def _cleaned_row(row: Any, clean: Clean) -> Any:  # noqa: ANN401
    found = [_cleaned(cell, clean) for cell in row]
    if all(new is old for new, old in zip(found, row, strict=True)):
        return row
    return type(row)(found) if type(row) in (tuple, list) else type(row)(*found)
