"""What is found once: by the first who asks, for each thing, and for nobody before."""

import pytest

from handbook_builder.once import Found


def test_a_thing_is_found_when_it_is_asked_for_and_once() -> None:
    """Whoever counts, lists or looks for a key finds nothing."""
    asked: list[str] = []

    def find(key: str) -> int:
        asked.append(key)
        return len(key)

    found = Found(("pine", "fig"), find)
    assert list(found) == ["pine", "fig"]
    assert len(found) == 2
    assert "fig" in found
    assert "gin" not in found
    assert not asked
    assert (found["fig"], found["fig"], found["pine"]) == (3, 3, 4)
    assert asked == ["fig", "pine"]


def test_what_is_not_known_is_not_found() -> None:
    """A key that nobody named is an error, and not asked after."""
    found: Found[str, int] = Found((), len)
    with pytest.raises(KeyError):
        found["fig"]
    assert found.get("fig") is None
