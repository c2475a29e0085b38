"""What a studio of another hand cannot do, where the owner's edition cannot go, who is answered."""

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
from jinja2.exceptions import SecurityError
from runs import RUN, run_tool

from handbook_builder.pages.page import Page
from handbook_builder.publish import views
from handbook_builder.publish.serving import guarded, is_served
from tests.pages.conftest import DAY


@pytest.mark.parametrize(
    "code",
    [
        "{{ ''.__class__.__mro__[1].__subclasses__() }}",
        "{{ link.__globals__ }}",
        "{{ around.reader._markdown }}",
        "{{ cycler.__init__.__globals__.os.popen('id').read() }}",
    ],
)
def test_a_view_reaches_nothing_behind_what_it_shows(tmp_path: Path, code: str) -> None:
    """A view of another hand runs in a sandbox."""
    (tmp_path / "it.html").write_text(code)
    around = views.Surroundings({"index"}, set(), DAY)
    page = Page("index", "T", "it", None)
    with pytest.raises(SecurityError):
        views.render(views.environment([tmp_path]), page, around)


def test_a_theme_cannot_run_a_command(studio: Path) -> None:
    """Nor can a part of the theme, nor may it call what MkDocs gives it."""
    (studio / "site_templates/theme/partials").mkdir(parents=True)
    footer = studio / "site_templates/theme/partials/footer.html"
    for code in ("config.__class__.__init__.__globals__", "config.load_dict({})"):
        footer.write_text(f"{{{{ {code} }}}}")
        done = run_tool("site", studio, studio / "site")
        assert done.returncode == 1, code
        assert "SecurityError" in done.stderr


@pytest.mark.parametrize(
    "place", ["site_templates/guides/guides/hn.md", "site_templates/views/home.html",
              "records/burns/hn.png"],
)  # fmt: skip
def test_a_link_that_leads_out_is_refused(studio: Path, tmp_path: Path, place: str) -> None:
    """A file of the machine is not published under a name of the studio's."""
    (tmp_path / "secret").write_text("# Secret")
    (studio / place).symlink_to(tmp_path / "secret")
    done = run_tool("site", studio, studio / "site")
    assert done.returncode == 1
    assert f"{place}: this is a link to a place outside the studio's folder." in done.stderr
    assert not (studio / "site").exists()


@pytest.mark.parametrize(
    "place", ["site_templates/guides", "site_templates/views", "records/burns", "records"]
)
def test_a_folder_that_leads_out_is_refused(studio: Path, tmp_path: Path, place: str) -> None:
    """Nor does a whole folder of the machine stand among the studio's."""
    away = (studio / place).rename(tmp_path / "away") if (studio / place).exists() else tmp_path
    (studio / place).symlink_to(away)
    done = run_tool("site", studio, studio / "site")
    assert done.returncode == 1
    assert f"{place}: this is a link to a place outside the studio's folder." in done.stderr
    assert not (studio / "site").exists()


def git(folder: Path, *words: str) -> str:
    """Run git in a folder, and return what it says."""
    who = ("-c", "user.name=t", "-c", "user.email=t@example.org")
    done = subprocess.run(["git", *who, *words], cwd=folder, capture_output=True, text=True,
                          check=True)  # fmt: skip
    return done.stdout


def with_a_host(studio: Path) -> None:
    """Let the studio have a host that `gh-deploy` pushes to."""
    git(studio.parent, "init", "-q", "--bare", "host.git")
    git(studio, "init", "-q")
    git(studio, "commit", "-q", "--allow-empty", "-m", "begun")
    git(studio, "remote", "add", "origin", str(studio.parent / "host.git"))


def test_the_floor_edition_may_be_put_on_a_host(studio: Path) -> None:
    """It holds nothing that has to stay in the studio."""
    with_a_host(studio)
    config = studio / "mkdocs.yml"
    config.write_text(config.read_text() + "      edition: floor\n")
    done = run_tool("mkdocs", "gh-deploy", cwd=studio)
    assert done.returncode == 0, done.stderr
    assert "gh-pages" in git(studio.parent / "host.git", "branch")


@pytest.mark.parametrize("tool", ["mkdocs", "properdocs"])
def test_the_owners_edition_is_not_put_on_a_host(studio: Path, tool: str) -> None:
    """The best-known command for publishing is refused before anything is pushed."""
    with_a_host(studio)
    done = run_tool(tool, "gh-deploy", cwd=studio)
    assert done.returncode == 1
    assert "private_host: true" in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert git(studio.parent / "host.git", "branch") == ""
    config = studio / "mkdocs.yml"
    config.write_text(config.read_text() + "      private_host: true\n")
    done = run_tool(tool, "gh-deploy", cwd=studio)
    assert done.returncode == 0, done.stderr
    assert "gh-pages" in git(studio.parent / "host.git", "branch")


@pytest.mark.parametrize(
    ("asked", "host", "is_answered"),
    [
        ("127.0.0.1:8000", "127.0.0.1", True), ("localhost:8000", "127.0.0.1", True),
        ("LOCALHOST:8000", "127.0.0.1", True), ("[::1]:8000", "127.0.0.1", True),
        ("evil.example", "127.0.0.1", False), ("evil.example:8000", "127.0.0.1", False),
        ("127.0.0.1.evil.example:8000", "127.0.0.1", False), ("localhost:80", "127.0.0.1", False),
        ("", "127.0.0.1", False), ("192.168.1.7:8000", "127.0.0.1", False),
        ("192.168.1.7:8000", "::", True), ("evil.example:8000", "::", False),
        ("laptop:8000", "laptop", True), ("[::1]evil:8000", "127.0.0.1", False),
    ],
)  # fmt: skip
def test_only_served_names_are_answered(asked: str, host: str, *, is_answered: bool) -> None:
    """A name of another site that leads here is not answered; an address in numbers may be."""
    assert is_served(asked, host, 8000) is is_answered


def test_a_strange_request_is_refused_without_a_trace() -> None:
    """Neither a strange host nor a path that no file has reaches the server behind."""
    said: list[str] = []

    def answer(host: str, path: str) -> list[bytes]:
        app = guarded(lambda *_: [b"the page"], "127.0.0.1", 8000)
        environ = {"HTTP_HOST": host, "PATH_INFO": path}
        return list(app(environ, lambda status, _: said.append(status)))

    assert answer("127.0.0.1:8000", "/") == [b"the page"]
    assert answer("evil.example:8000", "/") == [b"421 Misdirected Request"]
    assert answer("127.0.0.1:8000", "/\0") == [b"400 Bad Request"]
    assert said == ["421 Misdirected Request", "400 Bad Request"]


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.mark.parametrize("tool", ["serve", "mkdocs"])
@pytest.mark.parametrize("ending", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_a_server_leaves_nothing_behind(
    studio: Path, tmp_path: Path, tool: str, ending: signal.Signals
) -> None:
    """Whatever ends it, the temporary folder is empty afterwards; a strange name got nothing."""
    port, temporary = _free_port(), tmp_path / "temporary"
    temporary.mkdir()
    words = [str(studio), str(port)] if tool == "serve" else ["serve", "-a", f"127.0.0.1:{port}"]
    env = dict(os.environ, NO_MKDOCS_2_WARNING="1", TMPDIR=str(temporary))
    with (tmp_path / "log").open("w") as log:
        process = subprocess.Popen([sys.executable, RUN, tool, *words], cwd=studio, stdout=log,
                                   stderr=log, env=env)  # fmt: skip
    end = time.monotonic() + 40
    while "200 OK" not in _asked(port, "/", f"127.0.0.1:{port}") and time.monotonic() < end:
        time.sleep(0.2)
    assert "200 OK" in _asked(port, "/", f"localhost:{port}")
    assert "421" in _asked(port, "/search/search_index.js", "rebind.evil.example")
    assert "400" in _asked(port, "/%00", f"127.0.0.1:{port}")
    process.send_signal(ending)
    process.wait(timeout=20)
    assert list(temporary.iterdir()) == []
    assert "Traceback" not in (tmp_path / "log").read_text()


def _asked(port: int, path: str, host: str) -> str:
    """Return the first line of the answer, or nothing while nobody answers."""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=5) as line:
            line.sendall(f"GET {path} HTTP/1.0\r\nHost: {host}\r\n\r\n".encode())
            return line.recv(200).decode("latin-1").partition("\r\n")[0]
    except OSError:
        return ""


def test_a_port_in_use_is_one_sentence(studio: Path) -> None:
    """Another server on the port is told, without a trace."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        done = run_tool("serve", studio, other.getsockname()[1])
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "is in use" in done.stderr
