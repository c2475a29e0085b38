"""What the program keeps between builds: in the user's cache, and not more and more of it."""

import os
import tempfile
from pathlib import Path

import pytest
from jinja2 import DictLoader, Environment
from platformdirs import user_cache_path

from handbook_builder.publish import quick


def test_the_tests_keep_out_of_the_users_own_cache() -> None:
    """Whatever a test builds, in this process or in another, goes where the run cleans up."""
    folder = Path(os.environ["XDG_CACHE_HOME"])
    assert folder.is_dir()
    assert folder.is_relative_to(tempfile.gettempdir())
    assert user_cache_path("handbook-builder").is_relative_to(folder)


def test_compiled_templates_are_kept_and_bounded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The newest stay, the oldest go, and a template is still found in what was kept."""
    monkeypatch.setattr(quick, "user_cache_path", lambda _name: tmp_path)
    monkeypatch.setattr(quick, "MOST_KEPT", 10)
    folder = tmp_path / "templates"
    folder.mkdir()
    for number in range(11):
        old = folder / f"{number}.cache"
        old.write_bytes(b"")
        os.utime(old, (number, number))
    env = Environment(loader=DictLoader({"one": "{{ 1 + 1 }}"}))  # noqa: S701 -- no page
    quick.keep_compiled(env)
    assert env.get_template("one").render() == "2"
    left = sorted(one.stem for one in folder.glob("?*.cache") if one.stem.isdecimal())
    assert left == ["10", "6", "7", "8", "9"]
    assert len(list(folder.iterdir())) == 6  # and the one that was compiled now
