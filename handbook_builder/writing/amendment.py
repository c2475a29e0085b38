"""An amendment in the making: what changes in a cycle on file or in the end, and what it means."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any, Final

from handbook_builder.derived.at_bench import AtBench, told_whole
from handbook_builder.derived.slips import Slip, slips
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import Cycle
from handbook_builder.reading.records import SHOWN_AS, read_record
from handbook_builder.reading.shape import keys_of
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.verdicts.cycles import CycleVerdict
from handbook_builder.verdicts.reason import Quantity, Reason
from handbook_builder.writing.adding import values_of, with_new_value
from handbook_builder.writing.amending import Path as Within
from handbook_builder.writing.amending import former_of, with_amended, without_amended
from handbook_builder.writing.cycle_draft import CYCLE_KEYS, END_KEYS, units_of
from handbook_builder.writing.values import Value

# Free text is no evidence: the former one is not kept, since it may be what was to be taken out.
_TEXTS: Final = ("note", "why")


@dataclass(frozen=True, slots=True)
class Changed:
    """One value that an amendment changes: what the record said, None if nothing, and says now."""

    key: str
    was: str | None
    now: str


@dataclass(frozen=True, slots=True)
class Amendment:
    """A burn's file as it is, and what is to be changed in cycle `number`, or in the end (None)."""

    path: Path
    data: bytes
    bench: AtBench
    today: date
    number: int | None
    values: Mapping[str, Value] = field(default_factory=dict)
    tilt_new: str | None = None  # how it stood before its first light

    @property
    def file(self) -> str:
        """Return the file as messages name it."""
        return self.bench.burn.source.file

    @property
    def place(self) -> str:
        """Return where what is amended stands, as the places of a record are named."""
        return "end" if self.number is None else f"cycles[{self.number - 1}]"

    @property
    def units(self) -> Mapping[str, str]:
        """Return the unit that each reading is asked for in, by the studio's habit."""
        return units_of(self.bench)

    @property
    def on_file(self) -> Mapping[str, Any]:
        """Return what the record says there, as text, in lists and maps."""
        held: Any = values_of(self.data)
        for part in self._within:
            held = held[part]
        found: Mapping[str, Any] = held
        return found

    @property
    def tilt_is_due(self) -> bool:
        """Return whether it is still unsaid how the candle stood before its first light."""
        unsaid = self.bench.burn.made.tilt is None and self.tilt_new is None
        return unsaid and "tilt" in self.bench.studio.protocol.needs

    @property
    def _within(self) -> Within:
        return ("end",) if self.number is None else ("cycles", self.number - 1)

    def given(self, values: Mapping[str, Value]) -> "Amendment":
        """Return the amendment with more values; one that says what is on file changes nothing."""
        kept = {**self.values, **values}
        return replace(self, values={key: kept[key] for key in self._keys if key in kept})

    def with_one(self, key: str, value: Value, *, of_end: bool) -> "Amendment":
        """Return the amendment with one more value."""
        assert of_end is (self.number is None)  # noqa: S101 -- ours
        return self.given({key: value})

    @property
    def judged(self) -> CycleVerdict | None:
        """Return the verdict of the cycle that is amended, or None of an end."""
        return None if self.number is None else self.verdict().cycles[self.number - 1]

    @property
    def _keys(self) -> tuple[str, ...]:
        return END_KEYS if self.number is None else CYCLE_KEYS

    def changes(self) -> tuple[Changed, ...]:
        """Return what it changes, in the order in which a record has it."""
        on_file, old = self.on_file, self._held(self.bench.burn)
        new = self._held(self._burn_of(self._amended(dict(self.values))))
        shape = End if self.number is None else Cycle
        fields = {key: keys_of(shape)[key].field for key in self.values}
        return tuple(
            Changed(
                key,
                former_of(on_file, key) if key in on_file else None,
                former_of({key: self.values[key]}, key),
            )
            for key in self.values
            if getattr(old, fields[key]) != getattr(new, fields[key])
        )

    def _held(self, burn: Burn) -> Cycle | End:
        if self.number is not None:
            return burn.cycles[self.number - 1]
        assert burn.end is not None  # noqa: S101 -- only an end that is on file is amended
        return burn.end

    def new_bytes(self) -> bytes:
        """Return the file's bytes with the changes, the day, and what stood there before.

        Raises CannotAddError where a place is not certain. Without a change they are as they were.
        """
        changes = self.changes()
        new = self.data
        if changes:
            written = {one.key: self.values[one.key] for one in changes}
            new = self._amended(written | self._unread(changes) | self._marks(changes))
        if self.tilt_new is not None:
            new = with_new_value(new, "made.tilt", self.tilt_new)
        return new

    def _unread(self, changes: tuple[Changed, ...]) -> dict[str, Value]:
        """Return the list of what was not read without what is given now, where it names that."""
        listed = self.on_file.get("unread", [])
        left = [key for key in listed if key not in {one.key for one in changes}]
        return {} if left == listed else {"unread": left}

    def _marks(self, changes: tuple[Changed, ...]) -> dict[str, Value]:
        """Return the days of its amendments, today the last, and every value that stood there."""
        days = [one.isoformat() for one in self._held(self.bench.burn).amended]
        today = self.today.isoformat()
        days = days if today in days else [*days, today]
        former = dict(self._held(self.bench.burn).former)
        for one in changes:
            if one.was is not None and one.key not in _TEXTS:
                former[one.key] = tuple(dict.fromkeys((*former.get(one.key, ()), one.was)))
        marks: dict[str, Value] = {"amended": days[0] if len(days) == 1 else days}
        if former:
            marks["former"] = {
                key: each[0] if len(each) == 1 else each for key, each in former.items()
            }
        return marks

    def _amended(self, values: Mapping[str, Value]) -> bytes:
        new = self.data
        for key, value in values.items():
            if key == "unread" and not value:
                new = without_amended(new, self._within, key)
            else:
                new = with_amended(new, self._within, key, value, self._keys)
        return new

    def _burn_of(self, data: bytes) -> Burn:
        record, problems = read_record(f"burns/{self.path.name}", data, SHOWN_AS)
        if not isinstance(record, Burn):
            raise ValueError(problems)  # noqa: TRY004 -- not about a type
        return record

    def burn(self) -> Burn:
        """Return the burn as it would be read; every value has been read before."""
        return self._burn_of(self.new_bytes())

    def verdict(self) -> CandleVerdict:
        """Return the verdict of the candle with the amendment."""
        return told_whole(self.bench, self.burn())

    def slips(self) -> tuple[Slip, ...]:
        """Return what can hardly be in the cycle, and was not there before."""
        if self.number is None:
            return ()
        old = {_told(one) for one in self._slips_of(self.bench.burn)}
        return tuple(one for one in self._slips_of(self.burn()) if _told(one) not in old)

    def _slips_of(self, burn: Burn) -> tuple[Slip, ...]:
        return slips(self.bench, replace(burn, cycles=burn.cycles[: self.number]), None)

    def new_reasons(self) -> tuple[Reason, ...]:
        """Return what speaks against the candle now and did not before, as far as it was read."""
        old = {_told(one) for one in _against(told_whole(self.bench, self.bench.burn))}
        return tuple(one for one in _against(self.verdict()) if _told(one) not in old)

    def taken_away(self) -> tuple[Reason, ...]:
        """Return each failure on file that the amendment would take away."""
        left = {_kind(one) for one in _failures(self.verdict())}
        before = _failures(told_whole(self.bench, self.bench.burn))
        return tuple(one for one in before if _kind(one) not in left)

    def taken_out(self) -> tuple[tuple[str, str], ...]:
        """Return each word that was seen, and each check on the way, that would no longer stand.

        As the key, and what is gone of it.
        """
        on_file = self.on_file
        return tuple(
            (one.key, ", ".join(gone))
            for one in self.changes()
            if one.key in ("seen", "checks")
            and (
                gone := [
                    each for each in on_file.get(one.key, ()) if each not in self.values[one.key]
                ]
            )
        )


def _told(one: Reason | Slip) -> tuple[str, str]:
    """Return what a reason says, wherever it stands: what is added before it moves its place."""
    return one.code, str(sorted(one.details.items()))


def _kind(one: Reason) -> tuple[str, str]:
    """Return what a failure is about, whatever was read."""
    named = {
        key: value
        for key, value in one.details.items()
        if key != "why" and not isinstance(value, Quantity)
    }
    return one.code, str(sorted(named.items()))


def _failures(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return what failed; that a test was stopped goes with it, since failures are why."""
    return (*verdict.failures, *(one for one in verdict.gaps if one.code == "stopped"))


def _against(verdict: CandleVerdict) -> tuple[Reason, ...]:
    """Return all that speaks against a candle, a reading that was not taken apart."""
    gaps = [one for one in verdict.gaps if one.code != "reading_missing"]
    return (*verdict.failures, *gaps)
