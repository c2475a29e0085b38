"""Files as a page at the bench makes them, and the same readings as calls of `log`."""

import re
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from click.testing import Result

from handbook_builder.derived.handover import codes_of, state_of
from handbook_builder.reading.kinds.making import Burn
from handbook_builder.reading.records import read_record
from handbook_builder.writing.values import in_one_line
from tests.bench.calls import called, front_of
from tests.records_in_text import DAY, linked, proven

NEVER_HANDED = frozenset({"unread", "cycles", "amended", "former"})
SESSION = "9f2c41d07a6be315"


def summed(lines: Sequence[str]) -> str:
    """Return the text of a file with these lines between its fences, and its sum."""
    told = "".join(f"{line}\n" for line in lines)
    return f"---\n{told}sum: {zlib.crc32(told.encode()):08x}\n---\n"


@dataclass(frozen=True)
class Sitting:
    """What was read of a candle since a state of its record."""

    burn: str
    candle: str
    code: str
    record: str
    cycles: Sequence[Mapping[str, Any]]
    end: Mapping[str, str] | None = None
    tilt: str | None = None
    as_read: Sequence[int] = ()
    session: str = SESSION
    written: str = "2026-04-30 13:42"
    edition: str = "owner"
    more: Mapping[str, str] = field(default_factory=dict)

    def text(self, cycles: int | None = None, *, ended: bool | None = None) -> str:
        """Return the file, or the earlier edition of it with so many of its cycles."""
        shown = self.cycles if cycles is None else self.cycles[:cycles]
        whole = cycles is None or cycles == len(self.cycles)
        has_end = self.end is not None and (whole if ended is None else ended)
        lines = [
            "handover: 1",
            "kind: cycles",
            f"session: {self.session}",
            f"written: {self.written}",
            f"edition: {self.edition}",
            f"burn: {self.burn}",
            f"candle: {self.candle}",
            f"code: {self.code}",
            f"record: {self.record}",
            *([f"tilt: {self.tilt}"] if self.tilt else []),
            *([f"as_read: [{', '.join(map(str, self.as_read))}]"] if self.as_read else []),
            *(f"{key}: {value}" for key, value in self.more.items()),
            *(["cycles:"] if shown else []),
            *(f"  - {in_one_line(one)}" for one in shown),
            *([f"end: {in_one_line(self.end or {})}"] if has_end else []),
        ]
        return summed(lines)


def read_burn(text: str, ident: str = "fig-a") -> Burn:
    """Return a record that must be one."""
    record, problems = read_record(f"burns/{ident}.md", text.encode(), "records/")
    assert isinstance(record, Burn), problems
    return record


def stripped(text: str, cycles: int) -> str:
    """Return a record with its first `cycles` cycles, as it stood while it burned."""
    lines = text.split("\n")
    starts = [at for at, line in enumerate(lines) if line.startswith("  - {on:")]
    kept = [line for at, line in enumerate(lines) if at not in starts[cycles:]]
    kept = [line for line in kept if not re.match(r"end: |lit: ", line)]
    close = kept.index("---", 1)
    if not cycles:
        kept = ["cycles: []" if line == "cycles:" else line for line in kept]
    return "\n".join([*kept[:close], f"lit: {cycles}", *kept[close:]])


def sitting(text: str, ident: str, cycles: int, code: str, **more: Any) -> Sitting:  # noqa: ANN401
    """Return what was read of a candle after its first `cycles` cycles, by its whole record."""
    front = front_of(text)
    then = read_burn(stripped(text, cycles), ident)
    read = [
        {key: value for key, value in one.items() if key not in NEVER_HANDED}
        for one in front["cycles"][cycles:]
    ]
    end = {
        key: value for key, value in front.get("end", {}).items() if key not in NEVER_HANDED
    } or None
    return Sitting(ident, front["candle"], code, state_of(then), read, end, **more)


def log_words(cycle: Mapping[str, Any], end: Mapping[str, str] | None = None) -> list[str]:
    """Return the options of `log` that say the same as a cycle of a file."""
    words: list[str] = []
    for key, value in cycle.items():
        if key == "seen":
            words += [part for one in value for part in ("--seen", one)]
        elif key == "checks":
            pairs = [f"{time}={width}" for time, width in value.items()]
            words += [part for pair in pairs for part in ("--check", pair)]
        else:
            words += [f"--{key.replace('_', '-')}", value]
    options = {"how": "--end", "why": "--why", "left": "--left", "vessel": "--vessel-state"}
    for key, value in (end or {}).items():
        words += [options.get(key, f"--{key}"), value]
    return words


def logged(studio: Path, sat: Sitting, day: str, *, ended: bool = True) -> None:
    """Log what was read, call by call; each must be taken."""
    last = len(sat.cycles) - 1
    for number, one in enumerate(sat.cycles):
        end = sat.end if ended and number == last else None
        tilt = ["--tilt-new", sat.tilt] if sat.tilt and number == 0 else []
        words = ("log", sat.burn, *log_words(one, end), *tilt, "--as-read", "--as-of", day)
        result = called(studio, *words)
        assert result.exit_code == 0, result.output


def whole_record(*, parted: bool = False) -> str:
    """Return the record of candle A of the small studio as `log` writes it (a test holds it so).

    The end stands last. It was logged with the last cycle, or `parted` from it, by a call of its
    own: what is due in a cycle that may be followed by others is said to be unread then.
    """
    before, end, after = re.split(r"(end: .*\n)", proven()["burns/fig-a.md"], maxsplit=1)
    if parted:
        before = before.removesuffix("}\n") + ", unread: [pool, wall, after_smoke]}\n"
    return before + after.removesuffix("---\n") + end + "---\n"


def small(cycles: int = 0) -> dict[str, str]:
    """Return the small studio in which candle A has burned so many cycles of its life."""
    return {**proven(), "burns/fig-a.md": stripped(whole_record(parted=True), cycles)}


def small_sitting(cycles: int = 0, **more: Any) -> Sitting:  # noqa: ANN401
    """Return what was read of candle A of the small studio after so many cycles."""
    return sitting(whole_record(parted=True), "fig-a", cycles, small_code(), **more)


@cache
def small_code() -> str:
    """Return the code of the small studio's recipe."""
    studio = linked(proven())
    return codes_of(studio, studio.burns["fig-a"], [DAY])[0]


def hand_in(studio: Path, text: str | bytes, name: str = "a.txt") -> Path:
    """Put a file into the inbox."""
    path = studio / "inbox" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def taken(studio: Path, *words: str) -> Result:
    """Take what waits in the inbox."""
    return called(studio, "take", "--as-of", DAY.isoformat(), *words)
