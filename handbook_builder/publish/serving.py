"""Serving to this machine alone: which names are answered, and how the serving ends."""

import contextlib
import ipaddress
import signal
from collections.abc import Callable, Iterable, Iterator
from types import FrameType
from typing import Any, Final

_LOOPBACK: Final = frozenset({"localhost", "127.0.0.1", "[::1]"})
_ANY: Final = frozenset({"", "0.0.0.0", "::", "[::]"})  # noqa: S104 -- told apart, not bound to
_HTTP_PORT: Final = 80

Start = Callable[..., Any]
App = Callable[[dict[str, Any], Start], Iterable[bytes]]


def guarded(app: App, host: str, port: int) -> App:
    """Return `app` such that it answers for the names it is served under, and for no other.

    A page of another site could otherwise have its own name lead to this machine, and read here
    what only the owner may see. What no file can be called is refused, too.
    """

    def answer(environ: dict[str, Any], start: Start) -> Iterable[bytes]:
        if not is_served(str(environ.get("HTTP_HOST", "")), host, port):
            return _refuse(start, "421 Misdirected Request")
        if "\0" in str(environ.get("PATH_INFO", "")):
            return _refuse(start, "400 Bad Request")
        return app(environ, start)

    return answer


def _refuse(start: Start, status: str) -> Iterable[bytes]:
    start(status, [("Content-Type", "text/plain")])
    return [status.encode()]


def is_served(asked: str, host: str, port: int) -> bool:
    """Return whether the name that a browser asked for is one that is served here.

    Served to a whole network, any address in numbers will do: no other site can have one.
    """
    name, number = _split(asked.strip().lower())
    if number != str(port) and not (number == "" and port == _HTTP_PORT):
        return False
    own = host.lower()
    if name in _LOOPBACK or name in (own, f"[{own}]"):
        return own not in _ANY or name in _LOOPBACK
    return own in _ANY and _is_number(name)


def _split(asked: str) -> tuple[str, str]:
    """Return the name and the port that a Host header gives: '[::1]' and '8000'."""
    if asked.startswith("["):
        name, bracket, rest = asked.partition("]")
        return name + bracket, rest.removeprefix(":")
    name, _, port = asked.partition(":")
    return name, port


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True


def _end(_number: int, _frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def end_at_signals() -> dict[int, Any]:
    """Let every signal that ends a process end it as Ctrl+C does, so that nothing is left behind.

    Returns what the signals did before. Elsewhere than in the main thread, they stay as they are.
    """
    before: dict[int, Any] = {}
    for name in ("SIGTERM", "SIGHUP", "SIGINT"):
        number = getattr(signal, name, None)
        if number is not None:
            with contextlib.suppress(ValueError):
                before[number] = signal.signal(number, _end)
    return before


@contextlib.contextmanager
def tidy_end() -> Iterator[None]:
    """End quietly at any signal, after everything within has cleared up behind itself."""
    before = end_at_signals()
    try:
        yield
    except KeyboardInterrupt:
        pass
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def free(host: str, port: int) -> bool:
    """Return whether nothing listens on the port yet."""
    import socket  # noqa: PLC0415 -- only to serve

    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as one:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            one.bind((host, port))
        except OSError:
            return False
    return True
