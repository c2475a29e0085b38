"""Where a handbook is served, as mkdocs.yml says it: what square codes on paper lead to.

Each edition has an address of its own, or none: the owner's may stand nowhere in the floor edition.
"""

import re
from collections.abc import Mapping
from typing import Final
from urllib.parse import urlsplit

from handbook_builder.pages.edition import Edition

MOST_LETTERS: Final = 120
"""How long an address may be: a longer one makes a code that no sheet has room for."""

_LIKE_ONE: Final = re.compile(r"https?://[!-~]+", re.IGNORECASE)
_NOWHERE: Final = frozenset({"localhost", "127.0.0.1", "::1", "0.0.0.0"})  # noqa: S104 -- never bound


def fault_of(option: object) -> str:
    """Return what is wrong with the option `address` of the plug-in, or nothing."""
    told = option if isinstance(option, Mapping) else {Edition.OWNER.value: option}
    unknown = [str(key) for key in told if key not in set(Edition)]
    if unknown:
        return f"Expected the editions owner and floor, found {unknown[0]!r}."
    return next((fault for address in told.values() if (fault := _fault(address))), "")


def _fault(address: object) -> str:
    if not isinstance(address, str) or not _LIKE_ONE.fullmatch(address):
        return f"Expected an address such as https://bench.example/handbook, found {address!r}."
    if len(address) > MOST_LETTERS:
        return f"Expected at most {MOST_LETTERS} letters of an address, found {len(address)}."
    return ""


def address_of(option: object, site_url: str | None, *, edition: Edition, stated: Edition) -> str:
    """Return the address of an edition without a slash at its end, or nothing where none is known.

    A single address, or `site_url`, is that of the edition that mkdocs.yml `stated`, and of no
    other. A `site_url` on this machine is where `mkdocs serve` shows it, and no address.
    """
    if isinstance(option, Mapping):
        return str(option.get(edition.value, "")).rstrip("/")
    if edition is not stated:
        return ""
    return (str(option) if option else _served(site_url)).rstrip("/")


def _served(site_url: str | None) -> str:
    """Return the address under which a site is served for others, or nothing."""
    found = site_url or ""
    is_one = bool(_LIKE_ONE.fullmatch(found)) and len(found) <= MOST_LETTERS
    return found if is_one and urlsplit(found).hostname not in _NOWHERE else ""
