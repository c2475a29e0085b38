"""Values in a guide: `{{ limit.rest }}` becomes what holds in this studio. No code is ever run.

Only names that begin with `limit.` or `seen.` are ours; any other pair of braces stays as it is.
"""

import re
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Final

from mkdocs.exceptions import PluginError

PLACEHOLDER: Final = re.compile(r"\{\{ *((?:limit|seen)\.[A-Za-z0-9_.]*) *\}\}")


def filled(markdown: str, values: Mapping[str, str], file: str) -> str:
    """Return the text of a guide with each placeholder replaced by its value.

    Raises PluginError, with the file and the line, for a name that has no value.
    """

    def value(found: re.Match[str]) -> str:
        name = found.group(1)
        if name not in values:
            line = markdown.count("\n", 0, found.start()) + 1
            near = get_close_matches(name, values, n=1)
            hint = f" (did you mean '{near[0]}'?)" if near else ""
            message = f"{file}: line {line} of its text: no value is called '{name}'{hint}."
            raise PluginError(message)
        return values[name]

    return PLACEHOLDER.sub(value, markdown)
