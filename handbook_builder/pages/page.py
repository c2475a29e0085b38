"""A page as the handbook tells it: where it stands, what it is called, what it shows."""

from dataclasses import dataclass
from typing import Any

from handbook_builder.pages.desk import Link
from handbook_builder.words import Word


@dataclass(frozen=True, slots=True)
class Stands:
    """What stays in sight on a long page: how its matter stands, and what tells it from its like.

    `tail` is short: the first letters of a code, the letter of a candle, a day. `limits` is said
    where the word alone would promise too much.
    """

    word: Word | None
    tail: str = ""
    limits: str = ""


@dataclass(frozen=True, slots=True)
class Near:
    """A page that belongs beside another, and how what it tells of stands."""

    link: Link
    word: Word | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """Pages that belong beside another, under one title: sisters, former make-ups."""

    title: str
    near: tuple[Near, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One generated page, without any markup.

    `path` is its place in the site, without a suffix and with `/` between parts
    ("products/cedar-fig"). `title` is plain text. `view` names the template under
    `site_templates/views/`, which sees `content` as `page`. `boost` ranks the page in the
    search: above 1 comes earlier. `words` are further plain texts by which search must find it.
    A page that `is_alone` is a paper: a file that opens without the site, and no search finds it.
    `room` is the room of the handbook in which the page is, where its path does not say so;
    `stands` and `beside` are shown around the page, at hand wherever it is read.
    `about` names the record that an incident would be about, when a reader of this page sees that
    something is wrong.
    """

    path: str
    title: str
    view: str
    content: Any
    boost: float = 1.0
    words: tuple[str, ...] = ()
    is_alone: bool = False
    about: str = ""
    room: str = ""
    stands: Stands | None = None
    beside: tuple[Beside, ...] = ()
