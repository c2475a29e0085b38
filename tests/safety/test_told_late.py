"""What speaks against a candle reaches the pages at once, whatever its day, and lets nothing go.

An incident or a failure that is told late and dated back once made a fault of each batch that had
been poured in good faith: nothing was published, and the old pages, which still said Approved,
stood meanwhile. Here it is written into whole studios that were without fault. They must stay
without fault, approve no more than before, and let no batch go that might not go before.
"""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from random import Random

import pytest

from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.batches import BatchState, batch_verdict
from handbook_builder.verdicts.judge import judge
from handbook_builder.workshop import studio_from
from tests.oracle.batches import Day
from tests.oracle.generate import studio as drawn
from tests.oracle.pantry import START
from tests.oracle.pourings import with_batches, with_incident
from tests.oracle.read import Book, Record, day_of, read, split
from tests.oracle.spell import write as spelled
from tests.records_in_text import (
    DAY,
    OIL,
    RECIPE,
    STUDIO,
    VESSEL,
    as_bytes,
    burn,
    proven,
    whole_life,
)

MAY_GO = frozenset({BatchState.AS_PROVEN, BatchState.CURING})
TRIED = 6
SEEDS = [
    *range(2),
    *(pytest.param(one, marks=pytest.mark.deep) for one in range(2, 30)),
    *(pytest.param(one, marks=pytest.mark.long) for one in range(30, 300)),
]
Files = Mapping[str, str]


def read_whole(files: Files) -> tuple[Studio | None, list[str]]:
    """Return the studio as it would be published, or what keeps it from that."""
    data = {path: text.encode() for path, text in files.items()}
    found, problems = studio_from(read_texts(data, "records/"))
    return found, [str(one) for one in problems]


def let_go(studio: Studio, day: date) -> tuple[frozenset[str], frozenset[str]]:
    """Return the recipes that are approved, and the batches of which candles may leave."""
    judged = judge(studio, day)
    poured = {ident: one for ident, one in studio.batches.items() if one.on <= day}
    return (
        frozenset(one for one, product in judged.products.items() if product.status == "approved"),
        frozenset(
            one for one, batch in poured.items() if batch_verdict(judged, batch).state in MAY_GO
        ),
    )


def without_fault(seed: int) -> tuple[dict[str, str], date] | None:
    """Return a drawn studio with batches of what was proven, or None where others are at fault."""
    files, day = drawn(seed)
    files = with_batches(files, seed)
    for _ in range(2):
        found, problems = read_whole(files)
        if found is not None:
            return (files, day) if found.batches else None
        at_fault = {one.partition(":")[0].removeprefix("records/") for one in problems}
        if not all(path.startswith("batches/") for path in at_fault):
            return None
        about = {f"{path.removesuffix('.md')}\n" for path in at_fault}
        if any(one in text for text in files.values() for one in about):
            return None
        files = {path: text for path, text in files.items() if path not in at_fault}
    return None


def with_record(files: Files, path: str, record: Record) -> dict[str, str]:
    """Return the records with the keys of one of them written anew."""
    rng = Random(0)  # noqa: S311 -- a repeatable draw
    return {**files, path: spelled(record, rng, split(files[path])[1])}


# --- An incident of any day, about anything ---


@pytest.mark.parametrize("seed", SEEDS)
def test_an_incident_stops_no_page_and_lets_nothing_go(seed: int) -> None:
    """Of any day, about anything, told late or not, open or closed."""
    case = without_fault(seed)
    if case is None:
        return
    files, day = case
    before, _ = read_whole(files)
    assert before is not None
    approved, may_go = let_go(before, day)
    for at in range(TRIED):
        rng = Random(1000 * seed + at)  # noqa: S311 -- a repeatable draw
        more = with_incident(read(files), files, rng)
        after, problems = read_whole({**files, **more})
        assert after is not None, problems
        now_approved, may_go_now = let_go(after, day)
        assert now_approved <= approved, more
        assert may_go_now <= may_go, more


@pytest.mark.deep
def test_the_studios_above_are_worth_trying() -> None:
    """Many have a batch that may go, and some lose it to an incident that was told late."""
    free = lost = 0
    for seed in range(40):
        case = without_fault(seed)
        found = None if case is None else read_whole(case[0])[0]
        if case is None or found is None:
            continue
        files, day = case
        may_go = let_go(found, day)[1]
        free += bool(may_go)
        for at in range(TRIED):
            rng = Random(1000 * seed + at)  # noqa: S311 -- a repeatable draw
            after, _ = read_whole({**files, **with_incident(read(files), files, rng)})
            lost += after is not None and let_go(after, day)[1] < may_go
    assert free >= 5
    assert lost >= 10


@pytest.mark.parametrize("seed", SEEDS)
def test_no_incident_makes_a_fault_of_a_batch_go_away(seed: int) -> None:
    """A batch of what was never proven stays a fault, whatever is said against it besides."""
    files, _ = drawn(seed)
    files = with_batches(files, seed)
    _, faults = read_whole(files)
    for at in range(TRIED):
        rng = Random(1000 * seed + at)  # noqa: S311 -- a repeatable draw
        _, still = read_whole({**files, **with_incident(read(files), files, rng)})
        assert {one.partition(": ")[0] for one in faults} <= {
            one.partition(": ")[0] for one in still
        }


@pytest.mark.parametrize("seed", SEEDS)
def test_what_may_go_was_approved_when_it_was_poured(seed: int) -> None:
    """By the oracle, but for incidents that were told later and are closed."""
    case = without_fault(seed)
    if case is None:
        return
    files, day = case
    found, _ = read_whole(files)
    assert found is not None
    book = read(files)
    for name in let_go(found, day)[1]:
        poured = Day(book, book["batches"][name]["recipe"], found.batches[name].on)
        assert poured.missing <= {"open_incident", "proof_lot_suspended"}
        for one in poured.suspending():
            itself = one["about"] == f"batches/{name}"
            late = day_of(one.get("told", one["on"])) > poured.day
            assert itself or late, (name, one)
            assert day_of(one["closed"]["on"]) <= day


# --- Other bad news of any day ---


def _bad_news(book: Book, files: Files, rng: Random) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield what may be found out later and is dated back, or has no day at all."""
    for name, vessel in book["vessels"].items():
        on = START + timedelta(days=rng.randrange(-20, 120))
        no = {"kind": "makers_word", "on": str(on), "by": "pot-maker", "result": "failed"}
        told = vessel | {"heat_evidence": [*vessel.get("heat_evidence", []), no]}
        yield f"{name} is refused", with_record(files, f"vessels/{name}.md", told)
    for name, oil in book["fragrances"].items():
        less = with_record(files, f"fragrances/{name}.md", oil | {"max_use": "1 %"})
        yield f"{name} is for less", less
    for name, wax in book["waxes"].items():
        less = with_record(files, f"waxes/{name}.md", wax | {"max_load": "1 %"})
        yield f"{name} holds less", less


@pytest.mark.parametrize("seed", SEEDS)
def test_other_bad_news_stops_no_page_and_lets_nothing_go(seed: int) -> None:
    """A vessel that is refused as of any day, a lower limit of an oil or of a wax."""
    case = without_fault(seed)
    if case is None:
        return
    files, day = case
    before, _ = read_whole(files)
    assert before is not None
    approved, may_go = let_go(before, day)
    rng = Random(seed)  # noqa: S311 -- a repeatable draw
    for name, changed in _bad_news(read(files), files, rng):
        after, problems = read_whole(changed)
        assert after is not None, (name, problems)
        now_approved, may_go_now = let_go(after, day)
        assert now_approved <= approved, name
        assert may_go_now <= may_go, name


BATCH = (
    "---\nrecipe: fig\non: 2026-04-05\nmade: 6\nby: the maker\nlots: {}\n"
    "weighed: {waxes/soy: 600 g, fragrances/fig-oil: 48 g}\n---\n"
)
CRACKED = "{how: went_out, left: 4.0 g, vessel: cracked, tilt: steady, cycles: all}"


def poured(**more: str) -> dict[str, str]:
    """Return the proven studio with a batch in good order, as it is counted."""
    files = {**proven(), "batches/one.md": BATCH, **more}
    return {path: text.decode() for path, text in as_bytes(files).items()}


def state(files: Files) -> str:
    """Return how the batch stands, or what keeps everything from being published."""
    found, problems = read_whole(files)
    if found is None:
        return " ".join(problems)
    return batch_verdict(judge(found, DAY), found.batches["one"]).state.value


def test_the_batch_above_is_as_proven() -> None:
    """Or else nothing below would say anything."""
    assert state(poured()) == "as_proven"


@pytest.mark.parametrize("moved", ["2026-01", "2026-03", "2026-04"])
def test_a_failure_that_is_brought_late_is_told_at_once(moved: str) -> None:
    """Poured and burned before the candles that passed, with them, or after the batch."""
    fourth = burn("D", candles=1, end=CRACKED).replace("on: 2026-03-01", "on: 2026-03-02")
    assert state(poured(**{"burns/fig-d.md": fourth.replace("2026-03", moved)})) == "disproven"


@pytest.mark.parametrize("which", ["a", "b", "c"])
def test_a_failure_that_is_found_late_in_what_proved_it(which: str) -> None:
    """One of the three that passed had a crack all the while: two are left, and the news is out."""
    third = burn(which.upper(), end=CRACKED)
    assert state(poured(**{f"burns/fig-{which}.md": third})) == "disproven"
    high = whole_life(ord(which) - ord("a"))
    high[1] = high[1].replace("22 mm", "220 mm")
    mended = burn(which.upper(), cycles=high)
    assert state(poured(**{f"burns/fig-{which}.md": mended})) == "disproven"


def test_a_doubt_about_a_failed_candle_stops_nothing() -> None:
    """What its record leaves unsaid might have been a failure, and it is known to have failed."""
    lines = whole_life(3)
    lines[0] = lines[0].replace("flame: 22 mm", "flame: 80 mm").replace(", wall: 52 degC", "")
    fourth = burn("D", candles=1, cycles=lines).replace("on: 2026-03-01", "on: 2026-03-02")
    assert state(poured(**{"burns/fig-d.md": fourth})) == "disproven"
    fair = fourth.replace("flame: 80 mm", "flame: 22 mm")
    assert "batch_" not in state(poured(**{"burns/fig-d.md": fair}))
    assert "poured on 2026-04-05" in state(poured(**{"burns/fig-d.md": fair}))


def on_two_days(**more: str) -> dict[str, str]:
    """Return the studio with a batch under a protocol that asks for two pourings."""
    files = {**more, "protocols/house.md": "---\npourings: 2\n---\n"}
    files["studio.md"] = STUDIO.replace("protocol: default", "protocol: house")
    return poured(**files)


def test_a_failure_makes_up_the_pourings_that_were_asked_for() -> None:
    """It was a test of another day; three of one day alone were never enough."""
    assert "when fig was not approved" in state(on_two_days())
    fourth = burn("D", candles=1, end=CRACKED).replace("on: 2026-03-01", "on: 2026-03-02")
    assert state(on_two_days(**{"burns/fig-d.md": fourth})) == "disproven"
    third = burn("C", end=CRACKED)
    assert "when fig was not approved" in state(on_two_days(**{"burns/fig-c.md": third}))
    two = {f"burns/fig-{one}.md": burn(one.upper(), candles=2) for one in "ab"}
    other = burn("C", candles=1, end=CRACKED).replace("on: 2026-03-01", "on: 2026-03-02")
    assert state(on_two_days(**two, **{"burns/fig-c.md": other})) == "disproven"


UNPROVEN: dict[str, dict[str, str]] = {
    "untested": {},
    "one": {"burns/fig-a.md": burn("A", candles=1)},
    "two": {f"burns/fig-{one}.md": burn(one.upper(), candles=2) for one in "ab"},
    "two and a ladder": {
        **{f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"},
        "burns/fig-c.md": burn("C", end=CRACKED, more="as: ladder\n", made="  rungs: 3\n"),
    },
    "two and a void": {
        **{f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"},
        "burns/fig-c.md": burn(
            "C", end=CRACKED, more="void: {why: it fell over, by: the maker, on: 2026-04-01}\n"
        ),
    },
    "two and a misuse": {
        **{f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"},
        "burns/fig-c.md": burn("C", end=CRACKED, more="as: misuse\nhow: moved\n"),
    },
    "two and one that flared at once": {
        **{f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"},
        "burns/fig-c.md": burn(
            "C", cycles=[whole_life(2)[0].replace("22 mm", "80 mm")], end="", more="lit: 1\n"
        ),
    },
    "two and one of another load": {
        **{f"burns/fig-{one}.md": burn(one.upper()) for one in "ab"},
        "burns/fig-c.md": burn("C", oil="8.3 g", end=CRACKED),
    },
}
AGAINST = {
    "an incident": {
        "incidents/one.md": "---\nnumber: 1\non: 2026-03-01\ntold: 2026-04-20\n"
        "about: recipes/fig\nwhat: It smoked.\n---\n"
    },
    "a refused vessel": {
        "vessels/tumbler.md": VESSEL.replace("porous: no", "porous: yes\nsealed: no")
    },
    "a lower limit": {"fragrances/fig-oil.md": OIL.replace("9 %", "2 %")},
}


@pytest.mark.parametrize("against", [None, *AGAINST])
@pytest.mark.parametrize("name", UNPROVEN)
def test_what_was_never_proven_stays_a_fault(name: str, against: str | None) -> None:
    """No bad news makes up for a proof that was not there: the batch stops everything."""
    bare = {path: text for path, text in proven().items() if not path.startswith("burns/")}
    files = {**bare, "batches/one.md": BATCH, **UNPROVEN[name]}
    if against is not None:
        files |= AGAINST[against]
    counted = {path: text.decode() for path, text in as_bytes(files).items()}
    assert "poured on 2026-04-05, when fig was not approved" in state(counted)


def test_a_paper_that_was_not_there_stays_a_fault() -> None:
    """With an incident, too: it is missing, and nobody said anything against it."""
    late = OIL.replace("certificate: {on: 2025-11-01}", "certificate: {on: 2026-04-06}")
    for more in AGAINST.values():
        files = poured(**{**more, "fragrances/fig-oil.md": late})
        assert "poured on 2026-04-05, when fig was not approved" in state(files)


def test_a_batch_that_was_poured_after_the_end_of_its_recipe_stays_a_fault() -> None:
    """To stop making it is no news about the candle."""
    retired = RECIPE.replace("fill:", "retired: 2026-04-05\nfill:")
    assert "when fig was not approved" in state(poured(**{"recipes/fig.md": retired}))


def test_a_vessel_that_lacks_a_word_stays_a_fault() -> None:
    """Ask first is no refusal."""
    ask = VESSEL.replace("porous: no", "porous: yes\nsealed: yes")
    assert "when fig was not approved" in state(poured(**{"vessels/tumbler.md": ask}))
