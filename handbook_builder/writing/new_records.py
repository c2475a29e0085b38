"""A new record from the template of its kind."""

from collections.abc import Mapping, Sequence
from pathlib import Path

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import SandboxedEnvironment


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
