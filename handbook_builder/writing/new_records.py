"""A new record from the template of its kind."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import SandboxedEnvironment

# The singular of each folder's name.
KIND_NAMES: Mapping[str, str] = {
    "protocol": "protocols",
    "supplier": "suppliers",
    "purchase": "purchases",
    "stock": "stock",
    "vessel": "vessels",
    "wax": "waxes",
    "wick": "wicks",
    "fragrance": "fragrances",
    "colorant": "colorants",
    "packaging": "packaging",
    "recipe": "recipes",
    "burn": "burns",
    "batch": "batches",
    "incident": "incidents",
    "helper": "helpers",
}
SCHEMAS: Final = ".schemas"  # where a studio's schemas stand, beside its records
_OPENED: Final = "---\n"


def from_template(folders: Sequence[Path], kind: str, context: Mapping[str, object]) -> str:
    """Return the text of a new record of `kind`, from the first of the folders that has one."""
    templates = SandboxedEnvironment(
        loader=FileSystemLoader([str(folder) for folder in folders]),
        autoescape=False,  # a record, not a page
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )
    return templates.get_template(f"{kind}.md.j2").render(context)


def with_schema(text: str, records: Path, kind: str) -> str:
    """Return a new record that names its schema, as the YAML language server looks for it.

    Where the studio has none, the text is as it was.
    """
    if not text.startswith(_OPENED) or not (records.parent / SCHEMAS / f"{kind}.json").is_file():
        return text
    named = f"# yaml-language-server: $schema=../../{SCHEMAS}/{kind}.json\n"
    return _OPENED + named + text.removeprefix(_OPENED)
