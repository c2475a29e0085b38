"""Front matter as an editor's loader of YAML 1.2 sees it: a second way in, without our reader.

The tags of the core schema are those of YAML 1.2.2, section 10.3.2 ("Tag Resolution"), read from
memory; PyYAML does the parsing alone. A record's keys are what stands between its first two lines
of `---`.
"""

import math
import re
from collections.abc import Callable
from typing import Any, Final

import yaml

# Each expression of the core schema with what its texts come to.
_CORE: Final[tuple[tuple[str, Callable[[str], object]], ...]] = (
    (r"null|Null|NULL|~|", lambda _: None),
    (r"true|True|TRUE|false|False|FALSE", lambda text: text.lower() == "true"),
    (r"[-+]?[0-9]+", int),
    (r"0o[0-7]+", lambda text: int(text, 0)),
    (r"0x[0-9a-fA-F]+", lambda text: int(text, 0)),
    (r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", float),
    (r"[-+]?(\.inf|\.Inf|\.INF)", lambda text: -math.inf if text[0] == "-" else math.inf),
    (r"\.nan|\.NaN|\.NAN", lambda _: math.nan),
)


def value_of(text: str) -> object:
    """Return what a plain scalar comes to."""
    return next((made(text) for form, made in _CORE if re.fullmatch(form, text)), text)


def plain(node: yaml.Node) -> Any:  # noqa: ANN401 -- whatever YAML holds
    """Return a node as JSON would have it: keys are texts."""
    if isinstance(node, yaml.MappingNode):
        return {str(key.value): plain(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [plain(one) for one in node.value]
    return value_of(node.value) if node.style is None else node.value


def front_matter(data: bytes) -> Any:  # noqa: ANN401 -- whatever YAML holds
    """Return the keys of a record; a yaml.YAMLError where there is no YAML at its head."""
    text = data.decode("utf-8-sig").replace("\r\n", "\n")
    parts = re.split(r"^---[ \t]*$", text, maxsplit=2, flags=re.MULTILINE)
    root = yaml.compose(parts[1], Loader=yaml.BaseLoader) if len(parts) == 3 else None
    if root is None or parts[0].strip():
        msg = "no front matter"
        raise yaml.YAMLError(msg)
    return plain(root)
