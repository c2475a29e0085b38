"""Where the shipped templates are: inside the installed package, or beside it in a checkout."""

from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).resolve().parent


def templates_folder() -> Path:
    """Return the folder of the templates that come with the program."""
    inside = _PACKAGE / "site_templates"
    return inside if inside.is_dir() else _PACKAGE.parent / "site_templates"
