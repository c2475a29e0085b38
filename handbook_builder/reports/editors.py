"""What an editor is told of a studio: a schema a kind of record, and settings that point to them.

The YAML language server completes and helps in the keys of a record, though its file is Markdown:
it takes the text as YAML, and what stands below the keys as a second document. That one may be no
YAML at all, so its own complaints are turned off; `handbook check` is run by a task instead, which
an editor reads as it reads a compiler.
"""

from collections.abc import Mapping
from typing import Final

from handbook_builder.reading.records import STUDIO_FILE
from handbook_builder.reports.schema import STUDIO, schemas
from handbook_builder.writing.new_records import SCHEMAS

SETTINGS: Final = ".vscode"
TASKS: Final = f"{SETTINGS}/tasks.json"
# `file:line:column: message`, with a word before it for what is no fault.
_LINE: Final = r"^(.+?):(\d+):(\d+): (?:(warning): )?(.*)$"


def schema_files() -> Mapping[str, object]:
    """Return the schema of each kind of record by the name of its file."""
    return {f"{folder}.json": schema for folder, schema in schemas().items()}


def editor_files(python: str, records: str) -> Mapping[str, object]:
    """Return what is written for editors, by its path in a studio.

    `python` runs the handbook, and `records` is their folder.
    """
    return {
        f"{SETTINGS}/settings.json": _settings(records),
        f"{SETTINGS}/extensions.json": {"recommendations": ["redhat.vscode-yaml"]},
        TASKS: {
            "version": "2.0.0",
            "tasks": [
                _task(python, "Check the records", "check", is_usual=True),
                _task(python, "Build the handbook", "build", is_usual=False),
            ],
        },
    }


def _settings(records: str) -> Mapping[str, object]:
    return {
        "files.associations": {f"**/{records}/**/*.md": "yaml"},
        "yaml.schemas": {
            f"{SCHEMAS}/{folder}.json": f"{records}/{STUDIO_FILE if folder == STUDIO else in_it}"
            for folder, in_it in ((one, f"{one}/*.md") for one in schemas())
        },
        "yaml.validate": False,
        "yaml.format.enable": False,
        "yaml.schemaStore.enable": False,
        "[yaml]": {"editor.formatOnSave": False, "editor.tabSize": 2},
        "files.eol": "\n",
    }


def _task(python: str, label: str, command: str, *, is_usual: bool) -> Mapping[str, object]:
    """Return a task whose lines are shown at their places in the records."""
    return {
        "label": label,
        "type": "process",
        "command": python,
        "args": ["-P", "-m", "handbook_builder", command],
        "options": {"cwd": "${workspaceFolder}"},
        "group": {"kind": "build", "isDefault": is_usual},
        "presentation": {"reveal": "silent", "clear": True},
        "problemMatcher": {
            "owner": "handbook",
            "source": "handbook",
            "severity": "error",
            "fileLocation": ["relative", "${workspaceFolder}"],
            "pattern": {
                "regexp": _LINE, "file": 1, "line": 2, "column": 3, "severity": 4, "message": 5,
            },
        },
    }  # fmt: skip
