"""Machines with other fonts: what this one has, and one that has a single family of it."""

import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

# What machines have, wide and narrow in turn. A page is tried with the first of them that are here.
COMMON: Final = (
    "DejaVu Sans", "Liberation Sans", "DejaVu Serif", "Noto Sans", "P052", "Liberation Serif",
    "Open Sans", "Noto Serif", "Roboto", "Carlito", "FreeSans",
)  # fmt: skip
_MOST: Final = 3
_FEWEST: Final = 2
_FOR_A_BROWSER: Final = {".ttf", ".otf", ".ttc"}

_MACHINE: Final = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>{fonts}</dir><cachedir>{cache}</cachedir></fontconfig>
"""


def installed() -> dict[str, list[Path]]:
    """Return the files of each family that writes English, as fc-list has them; none without it."""
    if shutil.which("fc-list") is None:
        return {}
    asked = ["fc-list", "--format", "%{family[0]}\t%{file}\n", ":lang=en:scalable=true"]
    told = subprocess.run(asked, capture_output=True, text=True, check=True, timeout=60).stdout
    found: dict[str, list[Path]] = {}
    for line in told.splitlines():
        family, _, file = line.partition("\t")
        if Path(file).suffix.lower() in _FOR_A_BROWSER:
            found.setdefault(family, []).append(Path(file))
    return found


def families_to_try(here: Mapping[str, Sequence[Path]]) -> list[str]:
    """Return the first common families that are here, or else two of whatever is here.

    None where there are not two: one alone tells nothing of the fonts of another machine.
    """
    common = [family for family in COMMON if family in here]
    if len(common) >= _FEWEST:
        return common[:_MOST]
    both = (common + sorted(here.keys() - set(COMMON)))[:_FEWEST]
    return both if len(both) == _FEWEST else []


def machine_with(files: Sequence[Path], folder: Path) -> Path:
    """Write a fontconfig file into `folder` that finds these fonts and no other; return it."""
    fonts = folder / "fonts"
    fonts.mkdir()
    for number, file in enumerate(files):
        (fonts / f"{number}-{file.name}").symlink_to(file)
    written = folder / "fonts.conf"
    written.write_text(_MACHINE.format(fonts=fonts, cache=folder / "cache"), encoding="utf-8")
    return written
