"""What is wrong in the records is put into pages as they are sent, and into nothing else."""

from collections.abc import Callable, Iterable
from io import BytesIO
from pathlib import Path
from typing import Any
from wsgiref.util import FileWrapper, setup_testing_defaults

import pytest
from mkdocs.exceptions import Abort

from handbook_builder.publish.faults_shown import FaultsShown, RecordsAtFaultError

PAGE = b'<!doctype html><html><body class="x" dir="ltr"><h1>Approved</h1></body></html>'
FAULT = "records/burns/a.md:2:5: found '<script>alert(1)</script> {{ 7 * 7 }}'"


def sending(body: bytes, kind: str) -> Callable[..., Iterable[bytes]]:
    """Return an application that sends one file, as the server of the generator does."""

    def application(_environ: Any, start_response: Any) -> Iterable[bytes]:  # noqa: ANN401
        start_response("200 OK", [("Content-Type", kind), ("Content-Length", str(len(body)))])
        return FileWrapper(BytesIO(body))

    return application


def asked(faults: FaultsShown, body: bytes, kind: str) -> tuple[bytes, int]:
    """Return what a browser gets, and what length it is told."""
    environ: dict[str, Any] = {}
    setup_testing_defaults(environ)
    heard: dict[str, str] = {}

    def start_response(_status: str, headers: list[tuple[str, str]], _info: object = None) -> Any:  # noqa: ANN401
        heard.update(headers)

    got = b"".join(faults.wrapped(sending(body, kind))(environ, start_response))
    return got, int(heard["Content-Length"])


def failing(problem: str) -> Callable[[], None]:
    """Return a build that records at fault stop."""

    def build() -> None:
        message = "1 problem in the records. Nothing was published."
        raise RecordsAtFaultError(message, [problem])

    return build


def test_a_page_tells_of_the_faults_until_they_are_mended(tmp_path: Path) -> None:
    """After a build that failed each page has the line; after one that did not, none has."""
    faults = FaultsShown(tmp_path)
    assert asked(faults, PAGE, "text/html; charset=utf-8") == (PAGE, len(PAGE))
    faults.watching(failing(FAULT))()
    page, length = asked(faults, PAGE, "text/html; charset=utf-8")
    assert length == len(page)
    assert page.index(b'dir="ltr">') < page.index(b"records/burns/a.md:2:5") < page.index(b"<h1>")
    faults.watching(lambda: None)()
    assert asked(faults, PAGE, "text/html; charset=utf-8") == (PAGE, len(PAGE))


def test_a_fault_is_told_as_text(tmp_path: Path) -> None:
    """What stands in a record is never markup, and no template."""
    faults = FaultsShown(tmp_path)
    faults.watching(failing(FAULT))()
    page = asked(faults, PAGE, "text/html")[0].decode()
    assert "<script>" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; {{ 7 * 7 }}" in page


@pytest.mark.parametrize("kind", ["application/json", "image/png", "text/css", "text/plain"])
def test_other_files_are_sent_as_they_are(tmp_path: Path, kind: str) -> None:
    """The search index, pictures and styles hold no banner."""
    faults = FaultsShown(tmp_path)
    faults.watching(failing(FAULT))()
    assert asked(faults, PAGE, kind) == (PAGE, len(PAGE))


def test_another_stop_is_told_by_its_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A build that stops for another reason says which; the terminal has it too."""

    def build() -> None:
        message = "Aborted with 2 warnings in strict mode!"
        raise Abort(message)

    faults = FaultsShown(tmp_path)
    faults.watching(build)()
    assert b"Aborted with 2 warnings in strict mode!" in asked(faults, PAGE, "text/html")[0]
    assert "Aborted with 2 warnings" in capsys.readouterr().err
