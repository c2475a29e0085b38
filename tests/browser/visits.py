"""One page in a real browser, with all that it asked for and complained of."""

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # a machine without Playwright can still collect these tests
    from playwright.sync_api import ConsoleMessage, Page, Request


@dataclass
class Visit:
    """A page in the browser, and all that it asked for and complained of."""

    page: "Page"
    root: str
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def open(self, path: str) -> None:
        """Go to a page of the site, and wait until it has come to rest."""
        self.page.goto(f"{self.root}/{path}", wait_until="load")

    def strangers(self) -> list[str]:
        """Return the requests that left the site."""
        own = ("data:", self.root)
        return [url for url in self.requests if not url.startswith(own)]

    def search(self, words: str) -> list[str]:
        """Type into the search; return the addresses found, within the site, in their order."""
        field = self.page.locator("[data-find-field]")
        field.fill("")
        field.fill(words)  # as pasted: no key is pressed
        self.page.wait_for_function(
            "words => document.querySelector('[data-find]').dataset.asked === words", arg=words
        )
        links = self.page.locator("[data-find-list] a")
        found = [str(url) for url in links.evaluate_all("all => all.map(one => one.href)")]
        return [url.removeprefix(f"{self.root}/") for url in found]

    def told(self) -> str:
        """Return what the search says above its hits."""
        return self.page.locator("[data-find-meta]").text_content() or ""

    def noted(self, message: "ConsoleMessage") -> None:
        """Keep what the console says of errors and warnings."""
        if message.type in {"error", "warning"}:
            self.complaints.append(f"{message.type}: {message.text}")

    def asked(self, request: "Request") -> None:
        """Keep the address of a request."""
        self.requests.append(request.url)


def pages_of(site: Path) -> list[str]:
    """Return every page of a site, by its path within."""
    return sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))


def pages_in(pdf: bytes) -> int:
    """Return how many pages a PDF has."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
