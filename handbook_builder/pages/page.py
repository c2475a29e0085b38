"""A page as the handbook tells it: where it stands, what it is called, what it shows."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Page:
    """One generated page, without any markup.

    `path` is its place in the site, without a suffix and with `/` between parts
    ("products/cedar-fig"). `title` is plain text. `view` names the template under
    `site_templates/views/`, which sees `content` as `page`. `boost` ranks the page in the
    search: above 1 comes earlier. `words` are further plain texts by which search must find it.
    A page that `is_alone` is a paper: a file that opens without the site, and no search finds it.
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
