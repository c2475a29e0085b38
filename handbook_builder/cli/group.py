"""What every command shares before it begins and when the system fails it."""

import codecs
import re
import shutil
import sys
from collections.abc import Iterator, Mapping
from typing import Any, Final

import click

from handbook_builder.reports.faults import call_report
from handbook_builder.reports.plain import as_json
from handbook_builder.terminal import (
    echo,
    progress,
    progress_over,
    said_of_errors,
)

# As JSON writes a character by its number, so that text for programs stays JSON.
_BY_NUMBER: Final = "handbook-by-number"
_NUMBERED: Final = r"^\[Errno [0-9]+\] "
_JSON: Final = "handbook_builder.json"
_WORKING: Final = "Reading the records"
# What takes long, and what it is called while it does.
_CALLED: Final[Mapping[str, str]] = {
    "build": "Building the handbook", "serve": "Building the handbook",
    "tables": "Writing the tables", "plan": "Planning", "start": "Copying",
}  # fmt: skip


class Commands(click.Group):
    """The commands: none ends in a trace for a full disk or a terminal of few characters.

    Who asks for JSON gets JSON, also of a call that cannot be followed.
    """

    sections: Mapping[str, tuple[str, ...]] = {}

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401 -- as Click has it
        """Run the command; what the system refuses is one sentence, and exit status 1."""
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors=_BY_NUMBER)
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise  # a reader that has seen enough, which Click ends quietly
        except OSError as error:
            echo(f"{what_failed(error)}. What was on file before is still there.", err=True)
            _tell_program(ctx, said_of_errors(), 1)
            sys.exit(1)
        except click.ClickException as error:
            _tell_program(ctx, [error.format_message()], error.exit_code)
            raise
        except SystemExit as ended:
            _tell_program(ctx, said_of_errors(), ended.code)
            raise
        finally:
            progress_over()

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; what it does is shown once it takes long, unless it asks for JSON."""
        ctx.meta[_JSON] = "--json" in args
        found = super().resolve_command(ctx, args)
        if not ctx.meta[_JSON]:
            progress(_CALLED.get(found[0] or "", _WORKING))
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands by what they are for; what each does is told in full."""
        for title, names in self.sections.items():
            with formatter.section(title):
                formatter.write_dl(list(_rows(self, ctx, names)))


def _rows(
    group: click.Group, ctx: click.Context, names: tuple[str, ...]
) -> Iterator[tuple[str, str]]:
    for name in names:
        command = group.get_command(ctx, name)
        if command is not None:
            yield name, command.short_help or command.get_short_help_str(limit=1000)


def told_to_program() -> None:
    """Remember that this call has printed its JSON."""
    context = click.get_current_context(silent=True)
    if context is not None:
        context.meta[_JSON] = False


def _tell_program(ctx: click.Context, said: list[str], status: object) -> None:
    """Print why a call was not followed, for a program that asked for JSON and got none yet."""
    if ctx.meta.get(_JSON) and status:
        code = "refused" if status == 1 else "wrong_call"
        click.echo(as_json(call_report(code, said)))
        ctx.meta[_JSON] = False


def what_failed(error: OSError) -> str:
    """Return what the system refused, and of which file."""
    if isinstance(error, shutil.Error) and error.args and isinstance(error.args[0], list):
        _, target, said = error.args[0][0]  # the first of many files
        reason = re.sub(_NUMBERED, "", str(said))
        return f"{target}: {reason}"
    reason = error.strerror or str(error) or type(error).__name__
    return f"{error.filename}: {reason}" if error.filename else reason


def _by_number(error: UnicodeError) -> tuple[str, int]:
    """Return what a stream cannot say, each character by its number."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass")
    pairs = (units[at : at + 2].hex() for at in range(0, len(units), 2))
    return "".join(f"\\u{pair}" for pair in pairs), error.end


codecs.register_error(_BY_NUMBER, _by_number)
