"""Keys of mkdocs.yml that are right there, and do nothing here: each is said once in a build."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import yaml

from handbook_builder.problems import Place, Problem, in_order
from handbook_builder.publish.config_file import (
    ConfigFileError,
    config_file,
    passed_over,
    read_config,
)
from handbook_builder.terminal import echo_place, from_here

_OWN_THEME: Final = "Lay files of your own over the shipped ones in site_templates/theme."
_HEADER: Final = "The handbook has a header of its own. " + _OWN_THEME
_OFFLINE: Final = "The handbook asks nobody for anything, and opens from a folder."
# By the path of each key: what to do instead. A key that ends in a dot is all that begins so.
INSTEAD: Final[Mapping[str, str]] = {
    "copyright": "The foot of each page is the handbook's own. " + _OWN_THEME,
    "edit_uri": "Pages are made of records, and have no source to be edited there.",
    "edit_uri_template": "Pages are made of records, and have no source to be edited there.",
    "extra.alternate": _HEADER,
    "extra.analytics": _OFFLINE,
    "extra.consent": _OFFLINE,
    "extra.social": "The foot of each page is the handbook's own. " + _OWN_THEME,
    "extra.version": _HEADER,
    "repo_name": _HEADER,
    "repo_url": _HEADER,
    "theme.custom_dir": _OWN_THEME,
    "theme.favicon": "Put a file assets/images/favicon.svg into site_templates/theme.",
    "theme.features.header.": _HEADER,
    "theme.features.navigation.": _HEADER + " Pages of your own are listed among the guides, in "
    "the order of 'nav'.",
    "theme.features.search.": "The handbook has a search of its own.",
    "theme.features.toc.": "The contents of a page are the handbook's own.",
    "theme.font": _OFFLINE + " Its fonts are those of the reader's machine.",
    "theme.logo": _HEADER,
    "theme.palette": "Each page follows the reader's device, or the switch in its header. Colours "
    "stand in site_templates/theme/assets.",
    "use_directory_urls": _OFFLINE + " Each page is a file with .html.",
}  # fmt: skip
_FALSE: Final = frozenset({"false", "no", "off"})


def unused_keys(path: Path) -> tuple[Problem, ...]:
    """Return a warning for each key of a mkdocs.yml that has no effect.

    Also one for each file that would be read if this were not there.
    """
    if not path.is_file():
        return ()
    try:
        return in_order((*_keys(path), *others(path.parent)))
    except (ConfigFileError, yaml.YAMLError, UnicodeDecodeError):
        return ()  # MkDocs reads more than we do, and has read it


def _keys(path: Path) -> Iterator[Problem]:
    places = _places(path)
    for key in _given(read_config(path)):
        rule = next((one for one in INSTEAD if key == one or _begins(key, one)), None)
        if rule is not None:
            line, column = places.get(key, (1, 1))
            said = f"'{key}' has no effect here. {INSTEAD[rule]}"
            yield Problem(Place(from_here(path), line, column), "config_unused", said)
    theme = read_config(path).get("theme")
    name = theme.get("name") if isinstance(theme, dict) else theme
    if name not in {None, "material"}:
        line, column = places.get("theme.name", places.get("theme", (1, 1)))
        said = f"the theme is '{name}', and the handbook is made for material: pages may break."
        yield Problem(Place(from_here(path), line, column), "config_theme", said)


def _begins(key: str, rule: str) -> bool:
    return rule.endswith(".") and key.startswith(rule)


def _given(config: Mapping[str, Any], under: str = "") -> Iterator[str]:
    """Yield the path of each key, and of each word of a list; what is false asks for nothing."""
    for key, value in config.items():
        path = f"{under}{key}"
        if isinstance(value, str) and value.lower() in _FALSE:
            continue
        yield path
        if isinstance(value, Mapping):
            yield from _given(value, f"{path}.")
        elif isinstance(value, list):
            yield from (f"{path}.{one}" for one in value if isinstance(one, str))


def others(studio: Path) -> Iterator[Problem]:
    """Yield a warning for each settings file of a studio that would be read without another."""
    read = config_file(studio)
    for name in passed_over(studio):
        first = "" if read is None else read.name
        said = f"it is not read: {first} stands beside it, and is. Keep one of them."
        yield Problem(Place(from_here(studio / name)), "config_passed_over", said)


def _places(path: Path) -> Mapping[str, tuple[int, int]]:
    """Return line and column of each key that stands in the file itself."""
    root = yaml.compose(path.read_text("utf-8"), Loader=yaml.BaseLoader)
    return dict(_within(root, ""))


def _within(node: yaml.Node | None, under: str) -> Iterator[tuple[str, tuple[int, int]]]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            at = (key.start_mark.line + 1, key.start_mark.column + 1)
            yield f"{under}{key.value}", at
            yield from _within(value, f"{under}{key.value}.")
    elif isinstance(node, yaml.SequenceNode):
        for one in node.value:
            if isinstance(one, yaml.ScalarNode):
                mark = one.start_mark
                yield f"{under}{one.value}", (mark.line + 1, mark.column + 1)


def tell_unused(path: Path) -> None:
    """Name each key of a mkdocs.yml that has no effect, and what to do instead."""
    for one in unused_keys(path):
        echo_place(one.warning, err=True)
