"""What the package says of itself: whole, true, and nothing about anybody."""

import tomllib
from pathlib import Path

from trove_classifiers import classifiers

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def test_each_classifier_is_one_that_the_index_knows() -> None:
    """By the index's own list, each once and in order; the licence stands in its own field."""
    given = PROJECT["classifiers"]
    assert set(given) <= classifiers
    assert given == sorted(set(given))
    assert not any(one.startswith("License") for one in given)  # PEP 639


def test_what_it_claims_is_there() -> None:
    """Types, licence, the plug-in's framework, and each Python from the least that it asks for."""
    assert "Typing :: Typed" in PROJECT["classifiers"]
    assert (ROOT / "handbook_builder" / "py.typed").is_file()
    assert all((ROOT / name).is_file() for name in PROJECT["license-files"])
    assert "mkdocs.plugins" in PROJECT["entry-points"]
    named = [one.rpartition(" ")[2] for one in PROJECT["classifiers"] if ":: 3." in one]
    assert named[0] == PROJECT["requires-python"].removeprefix(">=")


def test_it_names_no_person_and_no_place_that_is_not_there() -> None:
    """Nobody real stands in it, and an address that does not exist would lead to a stranger."""
    assert [set(one) for one in PROJECT["authors"]] == [{"name"}]
    assert "urls" not in PROJECT
    assert PROJECT["keywords"]
