"""A process of its own that builds a made-up studio: `run.py TOOL ARGUMENTS…`.

TOOL is `mkdocs`, `properdocs`, `site` (our own build: studio folder, site folder) or `serve` (our
own server: studio folder, port). With the variable KILL_AT set, the process ends there at once, as
a kill would end it, with status 9.
"""

import os
import shutil
import sys
from pathlib import Path

if sys.argv[1] == "properdocs":
    import properdocs.replacement  # noqa: F401 - makes every mkdocs import a properdocs one

sys.path.insert(0, str(Path(__file__).parent))
from mkdocs import utils
from synthetic import stand_in

from handbook_builder.publish import swap


def killed(*_: object, **__: object) -> None:
    """End as under SIGKILL: no clean-up, no buffers written."""
    os._exit(9)


def set_trap(stage: str) -> None:
    """Arrange for the end of this process at `stage` of the build."""
    write, calls = utils.write_file, iter(range(1000))

    def write_some(content: bytes, path: str) -> None:
        if next(calls) == 5:
            killed()
        write(content, path)

    exchange = swap._exchange  # noqa: SLF001 -- the step that is to be cut short

    def exchange_then_die(one: Path, other: Path) -> bool:
        exchange(one, other)
        os._exit(9)

    rename = Path.rename

    def rename_then_die(self: Path, target: Path) -> None:
        rename(self, target)
        killed()

    def only_two_renames() -> None:
        swap._exchange = lambda *_: False  # noqa: SLF001 -- as on a system without that step

    traps = {
        "writing pages": lambda: setattr(utils, "write_file", write_some),
        "before the swap": lambda: setattr(swap, "_carry_over", killed),
        "at the exchange": lambda: setattr(swap, "_exchange", killed),
        "after the exchange": lambda: setattr(swap, "_exchange", exchange_then_die),
        "clearing up": lambda: setattr(shutil, "rmtree", killed),
        "two renames": only_two_renames,
        "between two renames": lambda: (
            only_two_renames(),
            setattr(Path, "rename", rename_then_die),
        ),
    }
    traps[stage]()


def main(tool: str, arguments: list[str]) -> int:
    """Run the tool; return its exit status."""
    stand_in()
    if "KILL_AT" in os.environ:
        set_trap(os.environ["KILL_AT"])
    if tool == "site":
        from handbook_builder.publish.site import build_site  # noqa: PLC0415 -- after the trap

        return build_site(Path(arguments[0]), site=Path(arguments[1]))
    if tool == "serve":
        from handbook_builder.publish.site import serve_site  # noqa: PLC0415 -- as above

        return serve_site(Path(arguments[0]), port=int(arguments[1]))
    if tool == "mkdocs":
        from mkdocs.__main__ import cli  # noqa: PLC0415 -- one or the other
    else:
        from properdocs.__main__ import cli  # noqa: PLC0415
    cli(arguments)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
