"""Links between pages of one site, as they are written in a page."""

import posixpath
from collections.abc import Callable, Container
from functools import lru_cache
from urllib.parse import quote


class DeadLinkError(LookupError):
    """A view asked for a link to a page that is not in the handbook: a fault of the view."""

    def __init__(self, here: str, there: str) -> None:
        """Name both pages."""
        super().__init__(f"{here}: link to {there!r}, and no such page exists")


@lru_cache(maxsize=8192)
def relative(here: str, there: str) -> str:
    """Return the address of `there` as seen from the page `here`, both paths within the site.

    `there` is a file with its suffix ("photos/a.jpg", "vessels/amber.html"), `here` a page
    without one ("products/cedar-fig").
    """
    return quote(posixpath.relpath(there, posixpath.dirname(here) or "."))


def to_page(here: str, there: str) -> str:
    """Return the address of the page `there` ("tests/cedar-fig-a#cycle-3") from the page `here`."""
    path, mark, fragment = there.partition("#")
    return relative(here, f"{path}.html") + mark + quote(fragment)


def linker(here: str, pages: Container[str]) -> Callable[[str], str]:
    """Return `link(there)` for the views of page `here`; it refuses pages that do not exist."""

    def link(there: str) -> str:
        if there.partition("#")[0] not in pages:
            raise DeadLinkError(here, there)
        return to_page(here, there)

    return link
