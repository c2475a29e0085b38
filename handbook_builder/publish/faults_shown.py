"""While serving: what is wrong in the records stands on every page that the browser gets.

The site on the disk stays the last whole one. Whoever looks at it must not take it for what the
records say now, so the problems are put into each page as it is sent, and are gone when a build
succeeds again.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mkdocs.exceptions import Abort

from handbook_builder.problems import Problem
from handbook_builder.publish import templates
from handbook_builder.publish.views import environment
from handbook_builder.terminal import echo, echo_place

if TYPE_CHECKING:  # slow to load, and only serving needs it
    from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

    from mkdocs.livereload import LiveReloadServer

_BODY = b"<body"


class RecordsAtFaultError(Abort):
    """Records at fault stopped the build; `problems` are their lines, as they are printed."""

    def __init__(self, message: str, problems: Sequence[str]) -> None:
        """Take the message for the terminal, and the problems for the pages."""
        super().__init__(message)
        self.problems = tuple(problems)


def stop_at_problems(problems: Sequence[Problem]) -> None:
    """Name each problem of the records; any of them ends the build."""
    if not problems:
        return
    for problem in problems:
        echo_place(str(problem), err=True)
    count = len(problems)
    noun = "problem" if count == 1 else "problems"
    message = f"{count} {noun} in the records. Nothing was published."
    raise RecordsAtFaultError(message, [str(fault) for fault in problems])


@dataclass
class FaultsShown:
    """What stopped the newest build of a server: nothing when it succeeded."""

    studio: Path
    problems: tuple[str, ...] = field(default=())

    def watching(self, build: Callable[[], None]) -> Callable[[], None]:
        """Return `build` such that faults leave the pages of the last build on show, and told.

        A server whose build raises would let every reader wait until the records are mended.
        """

        def attempt() -> None:
            try:
                build()
            except Abort as stop:
                message = stop.format_message()
                echo(message, err=True)
                self.problems = getattr(stop, "problems", ()) or (message,)
            else:
                self.problems = ()

        return attempt

    def on_pages_of(self, server: "LiveReloadServer") -> None:
        """Let the server put what is wrong into every page that it sends."""
        inner = server.get_app()
        if inner is not None:
            server.set_app(self.wrapped(inner))

    def wrapped(self, inner: "WSGIApplication") -> "WSGIApplication":
        """Return the application `inner` with the problems in each of its pages."""

        def application(
            environ: "WSGIEnvironment", start_response: "StartResponse"
        ) -> Iterable[bytes]:
            started: list[Any] = []

            def start(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:  # noqa: ANN401 -- as WSGI has it
                started[:] = [status, headers, exc_info]
                return lambda _: None

            body = inner(environ, start)
            status, headers, exc_info = started
            if self.problems and _is_page(headers):
                page = self.told_on(b"".join(_all_of(body)))
                body, headers = [page], [*_without_length(headers), _length(page)]
            start_response(status, headers, exc_info)
            return body

        return application

    def told_on(self, page: bytes) -> bytes:
        """Return the page with the problems at the top of its body."""
        at = page.find(_BODY)
        end = page.find(b">", at) + 1 if at >= 0 else 0
        return page[:end] + self.told().encode() + page[end:]

    def told(self) -> str:
        """Return the problems as HTML, every character of theirs escaped."""
        views = environment(templates.layers(self.studio, "views"))
        return views.get_template("faults.html").render(problems=self.problems)


def _is_page(headers: Iterable[tuple[str, str]]) -> bool:
    return any(
        name.lower() == "content-type" and value.startswith("text/html") for name, value in headers
    )


def _all_of(body: Iterable[bytes]) -> Iterator[bytes]:
    try:
        yield from body
    finally:
        close = getattr(body, "close", None)
        if close is not None:
            close()


def _without_length(headers: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return [header for header in headers if header[0].lower() != "content-length"]


def _length(page: bytes) -> tuple[str, str]:
    return ("Content-Length", str(len(page)))
