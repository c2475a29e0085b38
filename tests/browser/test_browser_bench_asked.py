"""What the bench page says of a reading is what `handbook log` says: the same faults and questions.

The table is one; the arithmetic that works it out stands twice, here and in the page's scripts.
"""

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, cast

import pytest
from conftest import visiting

from handbook_builder.cli.cycle_words import faults, questions, unanswered
from handbook_builder.cli.telling import Telling
from handbook_builder.derived.account import account_of
from handbook_builder.derived.at_bench import AtBench, told_whole
from handbook_builder.pages.bench.candle import candle_told
from handbook_builder.pages.bench.page import bench_pages
from handbook_builder.pages.desk import Desk
from handbook_builder.reading.fields import Report
from handbook_builder.reading.kinds.making import Burn, End
from handbook_builder.reading.kinds.readings import SEEN_WORDS, Cycle
from handbook_builder.reading.nodes import compose
from handbook_builder.reading.records import read_folder
from handbook_builder.reading.shape import read_shape
from handbook_builder.studio.studio import link
from handbook_builder.verdicts.candles import CandleVerdict
from handbook_builder.words import Words
from handbook_builder.workshop import words_text_for
from handbook_builder.writing.cycle_draft import Draft, units_asked, with_unit
from handbook_builder.writing.values import Value, in_one_line

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).resolve().parents[2]
TODAY: Final = date(2026, 5, 20)
CASES: Final = 500
# Good ones, other units, slips, and what only looks like a number.
GOOD: Final[Mapping[str, tuple[str, ...]]] = {
    "trimmed": ("0.1", "0.25 g", "0"), "before": ("412.6", "391.0 g", "14.2 oz", "0.4 kg"),
    "burned": ("4", "3 h 52 min", "235 min", "4.2", "4 h 16 min", "0"),
    "flame": ("24", "75", "75.04", "3 in", "80 mm", "3"),
    "pool": ("68", "72", "6.9 cm", "2 3/4 in", "5"),
    "depth": ("9", "14", "1/2 in", "75"), "wall": ("52", "80.5", "61 degC", "140 degF", "12"),
    "room": ("21", "14.9", "70 degF", "31 °C"), "after_smoke": ("4", "31 s", "2 min", "121"),
    "after": ("391", "412.6", "413", "254.05 g", "9 oz"),
}  # fmt: skip
ODD: Final = (
    "6,8 cm", "-3", "-40 degF", "1e400 mm", "nan mm", "inf", "68 mn", "12 fl oz", "10 grm", "3:50",
    "99999999 kg", "0", "½ in", "412.6 G", "52 c", "52 C", "delta 3 degC", "Δ 3 K", "1 lb 4 oz",
    "4 hours", "2 years", "12 mo", "10 %", "0.0000001 g", "3/2 in", "41.5mm", "41 mm x",
    "41\u200bmm",
    "7 7 mm", "1e-30 mm", "1_000 g", "٣ mm", "x" * 90, "12 mm 3 mm", "5 m", "2 ft", "9 min 30 s",
    "1000 degC", "-300 degC", "600 °F", "5 °K", "3 ozs", "80 secs", "1 1/2", ".5 in", "5.", "+5 mm",
)  # fmt: skip


@dataclass(frozen=True)
class Stub:
    """As much of a draft as the questions of `log` look at."""

    bench: AtBench
    whole: Burn
    cycle: Mapping[str, Value]
    end: Mapping[str, str]
    tilt_new: str | None
    stamped: datetime | None = None

    def burn(self) -> Burn:
        """Return the burn with the cycle."""
        return self.whole

    def verdict(self) -> CandleVerdict:
        """Return its verdict."""
        return told_whole(self.bench, self.whole)


@pytest.fixture(scope="module")
def desk() -> Desk:
    """Return the demo with candles at every stage: unlit, begun, misused, in a room unsaid."""
    studio, problems = link(read_folder(ROOT / "records", "records"))
    assert studio is not None, problems
    burns = dict(studio.burns)
    ended = [ident for ident, one in burns.items() if one.end is not None and len(one.cycles) > 3]
    misused = [ident for ident in burns if burns[ident].is_misuse]
    for at, ident in enumerate([*ended[:12], *misused]):
        one = burns[ident]
        burns[ident] = replace(one, cycles=one.cycles[: at % 4], end=None, void=None,
                               room_c=None if at % 3 else one.room_c)  # fmt: skip
    cut = replace(studio, burns=MappingProxyType(burns))
    return Desk(account_of(cut, TODAY), Words.load(words_text_for(ROOT)))


def typed_of(chance: random.Random) -> dict[str, Any]:
    """Return what somebody types into the fields of one cycle."""
    values = {}
    for key, good in GOOD.items():
        if chance.random() < 0.6:
            values[key] = chance.choice(ODD) if chance.random() < 0.06 else chance.choice(good)
    if chance.random() < 0.5 and "before" not in values:
        values["before"] = f"{chance.uniform(150, 480):.1f}"
        values["after"] = f"{float(values['before']) - chance.choice([0, -1, 18.3, 22, 120]):.1f}"
    day = date(2026, chance.randint(1, 5), chance.randint(1, 28)).isoformat()
    far = chance.choice(["2031-01-01", "1870-02-03"])
    ended = (("left", "5 g"), ("vessel", "sound"), ("tilt", "fell"))
    return {
        "day": far if chance.random() < 0.05 else day,
        "time": chance.choice(["", "09:30", "23:50"]),
        "values": values,
        "checks": {"1": chance.choice(["41", "99 mm", "4 foo"])} if chance.random() < 0.3 else {},
        "seen": chance.sample(SEEN_WORDS, chance.choice([0, 0, 1, 2])),
        "how": chance.choice(["", "", "", "went_out", "stopped"]),
        "tilt": chance.choice(["", "steady", "fell"]),
        "end": {key: value for key, value in ended if chance.random() < 0.6},
    }  # fmt: skip


def as_given(typed: Mapping[str, Any], units: Mapping[str, str]) -> dict[str, Value]:
    """Return what `log` would be given for it."""
    on = f"{typed['day']} {typed['time']}".strip()
    given: dict[str, Value] = {"on": on}
    given |= {key: with_unit(text.strip(), units.get(key)) for key, text in typed["values"].items()}
    if typed["seen"]:
        given["seen"] = typed["seen"]
    if typed["checks"]:
        given["checks"] = {f"{time} h": with_unit(width, units["checks"])
                           for time, width in typed["checks"].items()}  # fmt: skip
    return given


def by_log(told: Telling, desk: Desk, ident: str, typed: Mapping[str, Any]) -> dict[str, list[str]]:
    """Return what `log` says: the faults of each value, or else what it asks."""
    given = as_given(typed, units_asked(told.words.units))
    wrong = [line for key, value in given.items() for line in faults(told, key, value)]
    if date.fromisoformat(typed["day"]) > TODAY:
        wrong.append(told.text("future", on=typed["day"], today=TODAY))
    if wrong:
        return {"faults": sorted(wrong), "asked": [], "open": []}
    root, _ = compose(in_one_line(given), "", 1)
    assert root is not None
    cycle = read_shape(Cycle, root, Report(""), "")
    assert isinstance(cycle, Cycle)
    end: dict[str, str] = {"how": typed["how"], **typed["end"]} if typed["how"] else {}
    burn = desk.studio.burns[ident]
    whole = replace(burn, cycles=(*burn.cycles, cycle), end=_end(end) if end else None)
    stub = Stub(AtBench(desk.studio, burn, ()), whole, given, end, typed["tilt"] or None)
    draft = cast("Draft", stub)
    return {"faults": [], "asked": list(questions(told, draft)),
            "open": list(unanswered(told, draft))}  # fmt: skip


def _end(given: Mapping[str, str]) -> End:
    root, _ = compose(in_one_line(given), "", 1)
    assert root is not None
    found = read_shape(End, root, Report(""), "")
    assert isinstance(found, End)
    return found


# What the page does for each: the scripts as they are shipped, told what Python tells them.
ASK: Final = """([told, cases, today]) => {
  const quantities = window.benchQuantities(told.understood, told.habit);
  const states = window.benchState(told, quantities);
  return cases.map(([candle, typed]) => {
    const cycle = { ...states.cycle(), ...typed, values: typed.values };
    const parsed = states.parsed(cycle, today);
    const faults = parsed.faults.map((one) => one.text).sort();
    if (faults.length) return { faults, asked: [], open: [] };
    const ask = window.benchQuestions(candle, told, quantities);
    const earlier = candle.cycles.map((one) => {
      const [day, time] = one.on.split(" ");
      return { day, time: time || "", read: one, checks: one.checks || [], seen: one.seen || [] };
    });
    const end = typed.how ? { how: typed.how, ...typed.end } : { how: "" };
    return { faults, asked: ask.asked(earlier, parsed, typed.how).map((one) => one.text),
      open: ask.unanswered(typed.tilt, end) };
  });
}"""


def cases(desk: Desk, seed: int) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield as many candles with what is typed for them."""
    chance = random.Random(seed)  # noqa: S311 -- the same readings each time
    idents = [one for one in desk.judged.burns if desk.studio.burns[one].end is None]
    assert len(idents) > 10
    for _ in range(CASES):
        yield chance.choice(idents), typed_of(chance)


@pytest.mark.parametrize("habit", ["metric", "us", "both"])
def test_the_page_says_what_log_says(
    browser: "Browser", demo: Path, desk: Desk, habit: str
) -> None:
    """500 cycles of readings, good, odd and wrong: every fault and question, word for word."""
    words = replace(desk.words, units=habit)
    info = replace(desk.studio.info, units=habit)
    account = account_of(replace(desk.studio, info=info), TODAY)
    own = Desk(account, words)
    shared = next(page for page in bench_pages(own) if page.path == "bench/index").content.told
    drawn = list(cases(own, 2026))
    known = {ident: candle_told(own, ident) for ident in {ident for ident, _ in drawn}}
    asked = [[known[ident], typed] for ident, typed in drawn]
    with visiting(browser, demo.as_uri()) as visit:
        visit.open("bench/index.html")
        told = {**shared, "candles": [], "ended": []}
        found = visit.page.evaluate(ASK, [told, asked, TODAY.isoformat()])
    seen: set[str] = set()
    for (ident, typed), page in zip(drawn, found, strict=True):
        due = by_log(Telling(words), own, ident, typed)
        assert page == due, (ident, typed)
        seen |= {kind for kind, lines in due.items() if lines}
    assert seen == {"faults", "asked", "open"}
