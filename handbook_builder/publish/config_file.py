"""The studio's own mkdocs.yml, by whatever name: one reader of what it says, which runs nothing.

MkDocs reads it anew to build. The commands that only read records need two of its settings, and
must have the same answer: so what the file inherits (`INHERIT`) and takes from the surroundings
(`!ENV`) is read here as MkDocs reads it.
"""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import yaml

# MkDocs' own names come first; the others are those of its maintained continuation.
NAMES: Final = ("mkdocs.yml", "mkdocs.yaml", "properdocs.yml", "properdocs.yaml")
_DEEPEST: Final = 10  # files that inherit from one another


class ConfigFileError(Exception):
    """The file cannot be read as YAML; the message names it."""


class _Loader(yaml.BaseLoader):
    """Reads every value as the text that stands there."""


def _env(loader: yaml.BaseLoader, node: yaml.Node) -> object:
    """Return the first variable that is set, else the default: the last of several."""
    if isinstance(node, yaml.SequenceNode):
        *names, default = [str(one) for one in loader.construct_sequence(node)] or [""]
        return next((os.environ[name] for name in names if name in os.environ), default)
    return os.environ.get(str(loader.construct_scalar(node)), "")  # type: ignore[arg-type]


_Loader.add_constructor("!ENV", _env)


def config_file(studio: Path) -> Path | None:
    """Return the file that says how a studio's handbook is built, or None where there is none."""
    return next((studio / name for name in NAMES if (studio / name).is_file()), None)


def passed_over(studio: Path) -> tuple[str, ...]:
    """Return the names of files beside the one that is read, which are not."""
    return tuple(name for name in NAMES if (studio / name).is_file())[1:]


def read_config(path: Path) -> Mapping[str, Any]:
    """Return all that a file says, every value as text; raises ConfigFileError."""
    return _read(path, _DEEPEST)


def _read(path: Path, depth: int) -> dict[str, Any]:
    try:
        found = yaml.load(path.read_text("utf-8"), Loader=_Loader)  # noqa: S506 -- text only
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        msg = f"{path} cannot be read: {error}"
        raise ConfigFileError(msg) from error
    config = found if isinstance(found, dict) else {}
    parent = config.pop("INHERIT", None)
    if parent is None:
        return config
    above = path.parent / str(parent)
    if not depth or not above.is_file():
        msg = f"{path}: INHERIT: {parent} is no file that it can inherit from."
        raise ConfigFileError(msg)
    return _merged(_read(above, depth - 1), config)


def _merged(under: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """Return keys within keys together; of anything else the later word holds."""
    merged = dict(under)
    for key, value in over.items():
        both = isinstance(merged.get(key), dict) and isinstance(value, dict)
        merged[key] = _merged(merged[key], value) if both else value
    return merged
