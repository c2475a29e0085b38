"""What keeps a finished site from being published, as one plain message for each.

`handbook check` reads the records alone; this is about the finished files.
"""

import logging
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

import mkdocs
from mkdocs.exceptions import Abort
from mkdocs.utils import CountHandler

from handbook_builder.terminal import echo, echo_place

# Sorted by code, as the messages about records are. {braces} name what a message is given.
MESSAGES: Final[Mapping[str, str]] = {
    "leads_out": "this is a link to a place outside the studio's folder. "
    "Put the file itself here, or remove the link.",
    "mangled_picture": "the picture cannot be read ({reason}). Save it anew, or remove it.",
    "own_page_covered": "a page of the handbook has the address of this one. Give the file another "
    "name.",
    "picture_kind": "a picture of this kind cannot be shown. Save it as .jpg, .png or .webp; "
    "the extra handbook-builder[heic] reads .heic.",
    "told_address": "the floor edition would tell {found} in the name of this file. "
    "Rename the record, the guide or the picture that it comes from.{ordinary}",
    "told_attachment": "the floor edition would tell {found} in this attachment, which goes to "
    "helpers as it is. Take its name out of 'for_helpers', or lay a part of it without that beside "
    "the record.{ordinary}",
    "told_link": "the floor edition would tell {found} in a link, an address or a mark of this "
    "file. Rename what it links to, or remove the link.{ordinary}",
    "no_words": "this file of words for the search is no YAML: {why}",
    "odd_words": "this file of words for the search has {keys} in another form than the shipped "
    "one, or keys that it does not know. Compare it with the shipped one.",
    "told_text": "the floor edition would tell {found} in this file. "
    "Take it out of what the file is made of.{ordinary}",
    "vast_picture": "the picture is {wide} x {high} points large, or more than a page needs. "
    "Save it smaller, or remove it.",
}


@dataclass(frozen=True, slots=True, order=True)
class Refusal:
    """One file that may not be published, and why."""

    file: str
    message: str

    def __str__(self) -> str:
        """Return the form in which it is printed."""
        return f"{self.file}: {self.message}"


def refusal(file: str, code: str, **details: object) -> Refusal:
    """Return the refusal `code` of a file."""
    return Refusal(file, MESSAGES[code].format_map(details))


def tell_left_out(refusals: Iterable[Refusal]) -> None:
    """Name each file that is left out of the site, which is published without it."""
    for one in refusals:
        echo(f"{one} It is left out.", err=True)


def stop_at_refusals(refusals: Iterable[Refusal]) -> None:
    """Name each file that may not be published; any of them ends the build."""
    found = sorted(set(refusals))
    if not found:
        return
    for one in found:
        echo_place(str(one), err=True)
    noun = "file" if len({one.file for one in found}) == 1 else "files"
    message = f"{len({one.file for one in found})} {noun} cannot go out. Nothing was published."
    raise Abort(message)


def has_warned() -> bool:
    """Return whether this build, run in strict mode, has warned of anything."""
    counters = [
        handler
        for handler in logging.getLogger(mkdocs.__name__).handlers
        if isinstance(handler, CountHandler)
    ]
    return any(counter.get_counts() for counter in counters)
