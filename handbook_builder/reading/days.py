"""Days as people write them, by a style that somebody stated: never by a guess."""

import re
from collections.abc import Sequence
from datetime import date
from functools import cache
from typing import Final

ISO: Final = "YYYY-MM-DD"
_TOKENS: Final = {
    "YYYY": r"(?P<year>[0-9]{4})", "YY": r"(?P<short>[0-9]{2})",
    "MMM": r"(?P<name>[A-Za-z]{3,9})\.?",
    "MM": r"(?P<month>[0-9]{1,2})", "M": r"(?P<month>[0-9]{1,2})",
    "DD": r"(?P<day>[0-9]{1,2})", "D": r"(?P<day>[0-9]{1,2})",
}  # fmt: skip
_TOKEN: Final = re.compile("YYYY|YY|MMM|MM|M|DD|D")
_STYLE: Final = re.compile(r"(?:YYYY|YY|MMM|MM|M|DD|D|[-./, ])+")
_MONTHS: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_CLOCK: Final = re.compile(r"(?P<rest>.*?)[ T]+(?P<hour>[0-9]{1,2}):(?P<minute>[0-9]{2})(?::00)?")
_ISO_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LAST_OF_YEAR: Final = 12


def is_style(text: str) -> bool:
    """Return whether a text says how days are written: day, month and year, each once."""
    parts = _TOKEN.findall(text)
    first = sorted(one[0] for one in parts)
    return bool(_STYLE.fullmatch(text)) and first == ["D", "M", "Y"]


@cache
def _pattern(style: str) -> re.Pattern[str]:
    parts = re.split(f"({_TOKEN.pattern})", style)
    return re.compile("".join(_TOKENS.get(one, re.escape(one)) for one in parts))


def day_of(text: str, style: str | None) -> str | None:
    """Return a day in ISO form, by its style; ISO days need none. None where it is no day."""
    written = text.strip()
    match = (
        _pattern(style).fullmatch(written) if style and not _ISO_DAY.fullmatch(written) else None
    )
    if match is None:
        return _iso(written)
    found = match.groupdict()
    month = _month(found["name"]) if found.get("name") else int(found["month"])
    year = int(found["year"]) if found.get("year") else 2000 + int(found["short"])
    try:
        return date(year, month, int(found["day"])).isoformat()
    except ValueError:
        return None


def _iso(text: str) -> str | None:
    try:
        return date.fromisoformat(text).isoformat() if _ISO_DAY.fullmatch(text) else None
    except ValueError:
        return None


def _month(name: str) -> int:
    """Return the number of a month by its English name or the beginning of it; 0 for none."""
    found = [at for at, one in enumerate(_MONTHS, 1) if one.startswith(name.lower())]
    return found[0] if len(found) == 1 else 0


def moment_of(text: str, style: str | None) -> str | None:
    """Return a day, with the time of day where there is one; None where it is neither."""
    timed = _CLOCK.fullmatch(text.strip())
    if timed is None:
        return day_of(text, style)
    day = day_of(timed["rest"], style)
    return None if day is None else f"{day} {int(timed['hour']):02d}:{timed['minute']}"


def style_of(texts: Sequence[str]) -> str | None:
    """Return the one style that days can be written in; an empty text where that is doubtful.

    Days with points are taken to begin with the day, as everywhere where they are written so.
    None where none of the known styles reads them all.
    """
    days = [found["rest"] if (found := _CLOCK.fullmatch(one.strip())) else one.strip()
            for one in texts]  # fmt: skip
    if all(_iso(one) for one in days):
        return ISO
    years = _years(days)
    styles = (f"DD.MM.{years}", f"DD/MM/{years}", f"MM/DD/{years}", f"DD-MM-{years}",
              f"MM-DD-{years}", f"D MMM {years}", f"MMM D, {years}", f"MMM D {years}",
              f"D-MMM-{years}", f"D. MMM {years}", f"{years}/MM/DD")  # fmt: skip
    fit = _fitting(days, styles)
    return fit[0] if len(fit) == 1 else "" if fit else None


def styles_of(days: Sequence[str]) -> tuple[str, ...]:
    """Return every style of digits, or with an English month, that reads all of the days.

    Nothing is taken for granted but that a year of four digits in front is followed by its month.
    """
    years, signs = _years(days), ".-/"
    orders = ["DD{0}MM{0}Y", "MM{0}DD{0}Y", "Y{0}MM{0}DD"]
    styles = [one.format(sign).replace("Y", years) for sign in signs for one in orders]
    named = ("D MMM Y", "MMM D, Y", "MMM D Y", "D-MMM-Y", "D. MMM Y", "D/MMM/Y")
    return _fitting(days, (*styles, *(one.replace("Y", years) for one in named)))


def _years(days: Sequence[str]) -> str:
    return "YYYY" if all(re.search(r"[0-9]{4}", one) for one in days) else "YY"


def _fitting(days: Sequence[str], styles: Sequence[str]) -> tuple[str, ...]:
    return tuple(style for style in styles if all(day_of(one, style) for one in days))
