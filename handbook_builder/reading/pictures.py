"""What pictures are called: by their ending one that a page can show, by their number a cycle."""

import re
from importlib.util import find_spec
from typing import Final

from handbook_builder.reading.fields import Bad, Report, text
from handbook_builder.reading.forms import Written, takes
from handbook_builder.reading.nodes import Node

SHOWN: Final = (".jpg", ".jpeg", ".png", ".webp")
# What telephones write, and few browsers show.
CONVERTED: Final = (".heic", ".heif")
_CYCLE: Final = re.compile(r"([1-9][0-9]{0,2})(?:[-_ .].*)?")


def is_shown(name: str) -> bool:
    """Return whether a file is a picture by its name that a page can show as it is."""
    return name.lower().endswith(SHOWN)


def is_picture(name: str) -> bool:
    """Return whether a file is a picture by its name, one that must be converted too."""
    return name.lower().endswith(SHOWN + CONVERTED)


def can_convert() -> bool:
    """Return whether pictures of telephones can be converted here: the extra `heic` does it."""
    return find_spec("pillow_heif") is not None


def cycle_of(name: str) -> int | None:
    """Return the number of the cycle that a picture shows, by the number its name begins with.

    `2.jpg` and `2-top.jpg` show cycle 2; `20.jpg` shows cycle 20, `2b.jpg` and `pool.jpg` none.
    """
    stem = name.rpartition(".")[0]
    found = _CYCLE.fullmatch(stem)
    return int(found[1]) if found else None


@takes(Written(rf"[^/\\]*\.(?:{'|'.join(one.lstrip('.') for one in SHOWN + CONVERTED)})"))
def picture_name(node: Node, report: Report, key: str) -> str | Bad:
    """Read the file name of a picture that lies in the folder of its record."""
    found = text(node, report, key)
    if isinstance(found, Bad) or (is_picture(found) and not set("/\\") & set(found)):
        return found
    return report.bad(node, "no_picture_name", found=found, key=key)
