"""What every command shares before it begins and when the system fails it."""

import codecs
import re
import shutil
import sys
from typing import Any, Final

import click

# As JSON writes a character by its number, so that text for programs stays JSON.
_BY_NUMBER: Final = "handbook-by-number"
_NUMBERED: Final = r"^\[Errno [0-9]+\] "


class Commands(click.Group):
    """The commands: none ends in a trace for a full disk or a terminal of few characters."""

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
            click.echo(f"{what_failed(error)}. What was on file before is still there.", err=True)
            sys.exit(1)


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
