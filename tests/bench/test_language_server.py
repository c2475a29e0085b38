"""The YAML language server itself, where this machine has it, on the records of a new studio.

It is asked over the Language Server Protocol (version 3.17, messages with a Content-Length), as
editors ask it, with the settings that `start` writes. Elsewhere the schemas are held against a
validator alone (tests/reports/test_schema.py).
"""

import json
import os
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from handbook_builder.cli import main

SERVER = os.environ.get("YAML_LANGUAGE_SERVER") or shutil.which("yaml-language-server")
BURN = """---
recipe: cedar-fig
made:
  on: 2026-03-01
{}
  vessel: amber-tumbler
cycles:
  - on: 2026-03-16
{}
    seen: [mushrooming, ]
as: misuse
---
A note: with *things* in it
- one
* two ![Jar](jar.png)
""".format("  ", "    ")  # as an editor indents the next line
pytestmark = [
    pytest.mark.deep,
    pytest.mark.skipif(SERVER is None, reason="this machine has no yaml-language-server"),
]


class Server:
    """A language server at the other end of a pipe."""

    def __init__(self, folder: Path, settings: dict[str, Any]) -> None:
        """Start it for a folder."""
        self.settings, self.asked = settings, 0
        self.told: dict[str, list[dict[str, Any]]] = {}
        self.process = subprocess.Popen(
            [str(SERVER), "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        root = {"uri": folder.as_uri(), "name": "studio"}
        able = {"workspace": {"configuration": True, "workspaceFolders": True}}
        self.ask("initialize", processId=None, rootUri=root["uri"], workspaceFolders=[root],
                 capabilities=able)  # fmt: skip
        self.tell("initialized")
        self.tell("workspace/didChangeConfiguration", settings=settings)

    def _send(self, message: dict[str, Any]) -> None:
        assert self.process.stdin is not None
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(data), data))
        self.process.stdin.flush()

    def _next(self) -> dict[str, Any]:
        assert self.process.stdout is not None
        size = 0
        while line := self.process.stdout.readline().strip():
            name, _, value = line.partition(b":")
            size = int(value) if name == b"Content-Length" else size
        message: dict[str, Any] = json.loads(self.process.stdout.read(size))
        return message

    def tell(self, method: str, **params: object) -> None:
        """Say something that has no answer."""
        self._send({"method": method, "params": params})

    def ask(self, method: str, **params: object) -> Any:  # noqa: ANN401 -- of any form
        """Return the answer; what it asks meanwhile is its settings, what it tells is kept."""
        self.asked += 1
        self._send({"id": self.asked, "method": method, "params": params})
        while True:
            message = self._next()
            if "method" not in message and message.get("id") == self.asked:
                assert "error" not in message, message
                return message["result"]
            if message.get("method") == "workspace/configuration":
                parts = [one["section"] for one in message["params"]["items"]]
                self._send({"id": message["id"], "result": [self.settings.get(p) for p in parts]})
            elif "method" in message and "id" in message:
                self._send({"id": message["id"], "result": None})
            elif message.get("method") == "textDocument/publishDiagnostics":
                params = message["params"]
                self.told[params["uri"]] = params["diagnostics"]

    def opened(self, path: Path) -> str:
        """Open a record, as an editor that takes it for Markdown does; return its address."""
        text = path.read_text("utf-8")
        document = {"uri": path.as_uri(), "languageId": "markdown", "version": 1, "text": text}
        self.tell("textDocument/didOpen", textDocument=document)
        return path.as_uri()

    def at(self, method: str, uri: str, line: int, column: int) -> Any:  # noqa: ANN401 -- as above
        """Return what is answered for a place, line and column counted from 1."""
        position = {"line": line - 1, "character": column - 1}
        return self.ask(f"textDocument/{method}", textDocument={"uri": uri}, position=position)

    def offered(self, uri: str, line: int, column: int) -> set[str]:
        """Return what is offered to be typed at a place."""
        found = self.at("completion", uri, line, column)
        return {one["label"] for one in (found["items"] if isinstance(found, dict) else found)}


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a new studio with a test candle in the making and a wax with blanks."""
    folder = tmp_path_factory.mktemp("editor") / "studio"
    assert CliRunner().invoke(main, ["start", str(folder), "--no-git"]).exit_code == 0
    assert CliRunner().invoke(main, ["new", "wax", "bee", "--studio", str(folder)]).exit_code == 0
    (folder / "records" / "burns" / "cedar-fig-a.md").write_text(BURN)
    return folder


def until(found: Callable[[], object]) -> None:
    """Wait until something is found, half a minute at the most."""
    for _ in range(600):
        if found():
            return
        time.sleep(0.05)


def as_written(studio: Path) -> dict[str, Any]:
    """Return the settings of a studio as the server asks for them."""
    found = json.loads((studio / ".vscode" / "settings.json").read_text("utf-8"))
    yaml: dict[str, Any] = {"completion": True, "hover": True}
    for key, value in found.items():
        first, *rest = key.removeprefix("yaml.").split(".")
        if key.startswith("yaml."):
            yaml[first] = {rest[0]: value} if rest else value
    return {"yaml": yaml}


@pytest.fixture
def server(studio: Path) -> Iterator[Server]:
    """Return the server with the settings that `start` wrote."""
    found = Server(studio, as_written(studio))
    yield found
    found.process.kill()
    found.process.communicate()


def test_an_editor_completes_a_record(server: Server, studio: Path) -> None:
    """Keys within keys, words of a list, and the help of the guide; and no false alarm below."""
    burn = server.opened(studio / "records" / "burns" / "cedar-fig-a.md")
    until(lambda: server.offered(burn, 5, 3))  # it takes its settings in its own time
    assert server.offered(burn, 5, 3) >= {"wick", "wax", "inside_diameter", "tilt"}
    assert "vessel" not in server.offered(burn, 5, 3)
    assert server.offered(burn, 9, 5) >= {"burned", "before", "after", "pool", "unread"}
    assert server.offered(burn, 10, 25) >= {"sooting", "flare_up", "leak"}
    told = server.at("hover", burn, 7, 2)["contents"]["value"]
    assert "A list, in the order of time" in told
    assert server.told.get(burn, []) == []


def test_a_new_record_names_its_schema_itself(studio: Path) -> None:
    """With no settings at all: each blank of a new wax is told, and nothing else."""
    server = Server(studio, {"yaml": {"validate": True, "completion": True, "hover": True}})
    wax = studio / "records" / "waxes" / "bee.md"
    uri = server.opened(wax)
    lines = wax.read_text("utf-8").splitlines()
    assert server.offered(uri, lines.index("") + 1, 1) >= {"melt_point", "pour_at"}
    until(lambda: (server.at("hover", uri, 1, 1), uri in server.told)[1])
    blank = {number for number, line in enumerate(lines) if line.split("#")[0].strip()[-1:] == ":"}
    fence = lines.index("---", 1)
    found = {one["range"]["start"]["line"] for one in server.told[uri]}
    assert {number for number in found if number < fence} == blank
    server.process.kill()
    server.process.communicate()
