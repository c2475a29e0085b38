"""What the package asks for can be installed, and works."""

import tomllib
from pathlib import Path

import click
from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]


def _asked_for(name: str) -> Requirement:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    (found,) = [one for one in map(Requirement, project["dependencies"]) if one.name == name]
    return found


def test_no_release_of_click_is_let_in_that_ends_every_command_in_a_trace() -> None:
    """A parameter's type can be subscripted from 8.4.0 on (tried with each release named here)."""
    versions = _asked_for("click").specifier
    for broken in ("8.1.0", "8.1.8", "8.2.1", "8.3.0", "8.3.3"):
        assert not versions.contains(broken)
    assert versions.contains("8.4.0")
    assert click.ParamType[int] is not None


def test_the_lock_holds_what_is_asked_for() -> None:
    """The second command of the README installs by it."""
    lines = (ROOT / "requirements.lock").read_text("utf-8").splitlines()
    (locked,) = [one.partition("==")[2] for one in lines if one.startswith("click==")]
    assert _asked_for("click").specifier.contains(locked.split()[0])
