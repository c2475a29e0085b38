"""Sums of money found in a text, as people write them: 1.50, 1,50 EUR, 1 250.-, GBP 62.

A bare number may be a weight, a day or a count. It is taken for a sum only when it is one on file
and something says so: a word of money near by, or (in what a person wrote) the two decimals of a
price without a unit behind them.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from enum import IntEnum
from functools import lru_cache
from typing import Final

from handbook_builder.pages.private.spellings import Folded, Hit

SIGNS: Final = "€£$¥₣₤₩₹₺₽₴₪₫฿"
# Codes that are hardly ever a word; any other currency of a studio is known by its own settings.
CODES: Final = (
    "EUR", "USD", "GBP", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "HUF", "CAD", "AUD", "NZD",
    "JPY", "CNY", "INR",
)  # fmt: skip
_NAMES: Final = ("euro", "euros", "dollar", "dollars", "cents", "pence", "yen", "francs")
_WORDS: Final = frozenset(
    {"all", "ang", "bob", "cup", "gel", "lek", "mad", "mop", "pen", "sos", "top", "try", "won"}
)

_GROUPED: Final = r"\d{1,3}(?:[ \u00a0\u2009\u202f'\u2019.,]\d{3})+(?!\d)(?:[.,]\d{1,2}(?!\d))?"
_NUMBER: Final = rf"(?<![\d])(?<!\d[.,])(?:{_GROUPED}|\d+(?:[.,]\d+)?)(?:[.,]-{{1,2}}(?!\w))?"
_GAP: Final = r"[\s\u00a0\u202f:=_-]{0,2}"

# What follows a measured number: a unit, or the doubt of it. "In" is too often no inch.
_UNITS: Final = (
    "g|kg|mg|oz|lb|mm|cm|m|ml|cl|l|fl|g/h|g/ml|c|f|k|degc|degf|h|min|s|d|days?|weeks?|pcs|w"
)
_MEASURED: Final = rf"(?!\d|[.,]\d|[-/:]\d|[\s\u00a0\u202f-]*(?:%|±|°|(?:{_UNITS})\b))"
_MONEY: Final = re.compile(
    r"(?<![^\W_])(?:pric(?:e|es|ed|ing)|costs?|costing|paid|pays?|paying|charg(?:e|es|ed)|bill(?:s|ed)?"
    r"|invoic(?:e|es|ed)|freight|duty|margins?|mark-?up|discount|deposit|wholesale|retail|fees?"
    r"|(?:sold|sells?|bought|buys?|had) (?:it |them |each )?(?:for|at)|worth|spen[dt]"
    r"|owes?|labour|overhead|wages?|money)(?![^\W_])",
    re.IGNORECASE,
)
_SHARE: Final = re.compile(
    r"(?<![^\W_])(?:margin|mark-?up|discount)\W{0,3}(?:(?:of|is|at|=)\W?){0,2}\d+(?:[.,]\d+)?\s?%"
    r"|\d+(?:[.,]\d+)?\s?%\W{0,2}(?:margin|mark-?up|discount)(?![^\W_])",
    re.IGNORECASE,
)
_BARE: Final = re.compile(rf"(?<![^\W_])(?<![-/:±]){_NUMBER}{_MEASURED}(?![^\W_])", re.IGNORECASE)
_DASHED: Final = re.compile(r"(?<![\w.,])\d[\d ]*[.,]-{1,2}(?![\w-])")
_NEAR: Final = 40
_LONGEST_WORD: Final = 20
_END: Final = re.compile(r"[.!?;]\s|\n\s*\n")


class Care(IntEnum):
    """How much of a text is taken for a sum."""

    NONE = 0  # the shipped guides: their examples are everybody's
    PAGE = 1  # a finished page, which has numbers of the handbook's own
    HAND = 2  # what a person wrote: a note, a guide, a page of a studio's own


@dataclass(frozen=True, slots=True)
class AmountFinder:
    """Finds sums: any with its currency, and those on file as far as something says so."""

    on_file: frozenset[Decimal]
    currency: tuple[str, ...]
    said: str
    _with_sign: re.Pattern[str] = field(init=False)
    _signs: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        """Make the pattern of the currencies once."""
        object.__setattr__(self, "_with_sign", _with_sign(self.currency))
        signs = {one.lower() for one in (*SIGNS, *CODES, *_NAMES, *self.currency) if one}
        object.__setattr__(self, "_signs", tuple(sorted(signs)))

    def hits(self, text: Folded, care: Care) -> Iterator[Hit]:
        """Yield every sum in a text."""
        if care is Care.NONE or not _HAS_DIGIT.search(text.text):
            return
        yield from self.with_sign(text)
        for pattern, marks in ((_DASHED, (".-", ",-")), (_SHARE, ("argin", "ark", "iscount"))):
            if any(mark in text.text for mark in marks):
                for hit in pattern.finditer(text.text):
                    yield text.hit(*hit.span(), self.said)
        for hit in self._bare(text.text, care):
            yield text.hit(*hit.span(), self.said)

    def with_sign(self, text: Folded) -> Iterator[Hit]:
        """Yield every number that stands with a currency."""
        small = text.text.lower()
        if not any(sign in small for sign in self._signs):  # much faster than to try the pattern
            return
        for hit in self._with_sign.finditer(text.text):
            yield text.hit(*hit.span(), self.said)

    def priced(self, text: Folded) -> Iterator[Hit]:
        """Yield the sums on file that stand with a currency: for what is a program's text."""
        for hit in self.with_sign(Folded(text.text)):
            number = re.search(_NUMBER, text.text[hit.start : hit.end])
            if number is not None and value_of(number.group()) in self.on_file:
                yield text.hit(hit.start, hit.end, self.said)

    def _bare(self, text: str, care: Care) -> Iterator[re.Match[str]]:
        for hit in _BARE.finditer(text):
            if value_of(hit.group()) in self.on_file and _is_sum(text, hit, care):
                yield hit


_HAS_DIGIT: Final = re.compile(r"\d")
_PRICED: Final = re.compile(r"[.,]\d\d\Z")
_BOTH: Final = re.compile(r"\d[ \u00a0\u2009\u202f'\u2019.,]\d{3}[.,]\d\d\Z")


def _is_sum(text: str, found: re.Match[str], care: Care) -> bool:
    """Return whether something says that a number on file is a sum here, too."""
    number = found.group()
    is_priced = _PRICED.search(number) is not None
    if _BOTH.search(number) or (care is Care.HAND and is_priced):
        return True
    if care is Care.PAGE and not is_priced:
        return False  # a count: "the rule asks for 14"
    first, last = found.start() - _NEAR - _LONGEST_WORD, found.end() + _NEAR + _LONGEST_WORD
    words = _MONEY.finditer(text, max(first, 0), last)
    return any(_is_near(text, found.span(), word.span()) for word in words)


def _is_near(text: str, number: tuple[int, int], word: tuple[int, int]) -> bool:
    """Return whether two stretches stand near by in one sentence."""
    between = text[min(number[1], word[1]) : max(number[0], word[0])]
    return len(between) <= _NEAR and _END.search(between) is None


@lru_cache(maxsize=65536)
def value_of(number: str) -> Decimal:
    """Return the value of a number, whichever of point and comma its writer has for decimals."""
    if number.isdigit():
        return Decimal(number)
    plain = re.sub(r"[.,]-{1,2}\Z", "", number)
    plain = re.sub(r"[\s'\u2019]", "", plain)
    whole, mark, rest = plain.rpartition(max(".", ",", key=plain.rfind))
    is_decimal = mark and (len(rest) != len("000") or whole in ("", "0"))
    if mark and not is_decimal:
        whole, rest = whole + rest, ""
    digits = re.sub(r"\D", "", whole) or "0"
    return Decimal(f"{digits}.{rest or 0}")


def _with_sign(currency: Iterable[str]) -> re.Pattern[str]:
    own = {one for one in currency if one}
    signs = "".join(sorted({*SIGNS, *(one for one in own if len(one) == 1 and not one.isalnum())}))
    words = {*CODES, *_NAMES, *(one for one in own if len(one) > 1)}
    exact = {word for word in words if word.casefold() in _WORDS}
    either = "|".join(
        [*(f"(?i:{re.escape(one)})" for one in sorted(words - exact, key=len, reverse=True)),
         *(re.escape(one) for one in sorted(exact))]
    )  # fmt: skip
    sign = rf"(?:[{re.escape(signs)}]|(?<![^\W_])(?:{either})(?![a-z]))"
    after = rf"(?:[{re.escape(signs)}]|(?:{either})(?![^\W_]))"
    return re.compile(rf"{sign}{_GAP}{_NUMBER}|{_NUMBER}{_GAP}{after}")
