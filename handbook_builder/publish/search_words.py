"""The words that people look for and that no page says: `finding.yml`, and a studio's own of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

import yaml

from handbook_builder.publish.refusals import refusal, stop_at_refusals
from handbook_builder.publish.templates import layers
from handbook_builder.shipped import templates_folder

NAME: Final = "finding.yml"
_GROUPED: Final = ("same", "money", "spelt")
_CALLED: Final = ("pages", "sections")
_LISTED: Final = ("little", "dated")
Words = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """What the search knows besides the words of the pages.

    Of a group of `same` words each finds the others, and of `money` in the owner's edition; of a
    group of `spelt` ones all are one word.
    `pages` and `sections` are what people call a page ("board/index", or with an anchor) and a
    section of any page (by its anchor). `little` words are left out where others are left. `dated`
    are the folders in which a day is looked for first, in this order.
    """

    same: tuple[Words, ...] = ()
    money: tuple[Words, ...] = ()
    spelt: tuple[Words, ...] = ()
    pages: Mapping[str, Words] = field(default_factory=dict)
    sections: Mapping[str, Words] = field(default_factory=dict)
    little: Words = ()
    dated: Words = ()


def finding_of(studio: Path) -> Finding:
    """Return the shipped words with those of the studio's own `site_templates/finding.yml`.

    Where a file has another form than the shipped one, it is named and the build stops.
    """
    found = Finding()
    for folder in reversed(layers(studio)):
        if (folder / NAME).is_file():
            found = _joined(found, _read(folder / NAME))
    return found


def for_the_floor(studio: Path, hides: Callable[[str], bool]) -> Finding:
    """Return what the search of the floor edition knows: no words of money.

    The studio's own words may be names of buyers: those that `hides` takes for one are left out.
    """
    found, shipped = finding_of(studio), finding_of(templates_folder())
    known = {one for group in (*shipped.same, *shipped.spelt) for one in group}
    known |= {
        one for words in (*shipped.pages.values(), *shipped.sections.values()) for one in words
    }

    def told(words: Words) -> Words:
        return tuple(one for one in words if one in known or not hides(one))

    return replace(
        found, money=(), same=tuple(map(told, found.same)), spelt=tuple(map(told, found.spelt)),
        pages={key: told(words) for key, words in found.pages.items()},
        sections={key: told(words) for key, words in found.sections.items()},
        little=shipped.little,
    )  # fmt: skip


def _joined(one: Finding, other: Finding) -> Finding:
    """Return both together; what both say of one page is added up."""
    return Finding(
        one.same + other.same,
        one.money + other.money,
        one.spelt + other.spelt,
        _added(one.pages, other.pages),
        _added(one.sections, other.sections),
        one.little + other.little,
        other.dated or one.dated,
    )


def _added(one: Mapping[str, Words], other: Mapping[str, Words]) -> dict[str, Words]:
    return {key: one.get(key, ()) + other.get(key, ()) for key in (*one, *other)}


def _read(file: Path) -> Finding:
    try:
        # A loader that knows texts alone: "on", "no" and a number are words here.
        told = yaml.load(file.read_text("utf-8"), yaml.BaseLoader) or {}  # noqa: S506 -- as above
    except (yaml.YAMLError, UnicodeDecodeError) as fault:
        stop_at_refusals([refusal(f"site_templates/{NAME}", "no_words", why=fault)])
        raise
    odd = _odd(told)
    if odd:
        stop_at_refusals([refusal(f"site_templates/{NAME}", "odd_words", keys=odd)])
    grouped = {key: tuple(map(tuple, told.get(key) or ())) for key in _GROUPED}
    called = {
        key: {name: tuple(words) for name, words in (told.get(key) or {}).items()}
        for key in _CALLED
    }
    listed = {key: tuple(told.get(key) or ()) for key in _LISTED}
    return Finding(**grouped, **called, **listed)  # type: ignore[arg-type]  # each of its own kind


def _odd(told: Any) -> str:  # noqa: ANN401 -- whatever a file may hold
    """Return the keys of a file that are not known or hold something else than they must."""
    if not isinstance(told, dict):
        return "all of it"
    well = {
        *(key for key in _LISTED if _is_list(told.get(key))),
        *(key for key in _GROUPED if _are_lists(told.get(key), list)),
        *(key for key in _CALLED if _are_lists(told.get(key), dict)),
    }
    return ", ".join(f"'{key}'" for key in told if key not in well)


def _is_list(words: Any) -> bool:  # noqa: ANN401 -- as above
    return not words or (isinstance(words, list) and all(isinstance(one, str) for one in words))


def _are_lists(told: Any, kind: type) -> bool:  # noqa: ANN401 -- as above
    if told and not isinstance(told, kind):
        return False
    return all(map(_is_list, told.values() if isinstance(told, dict) else told or ()))
