"""Batches and incidents that were handed over: records that the check takes, each written once."""

import json
from collections.abc import Mapping
from pathlib import Path

import pytest

from handbook_builder.cli import take_new
from handbook_builder.derived.neutral import names_for
from handbook_builder.reading.records import read_folder
from handbook_builder.studio.studio import link
from handbook_builder.workshop import studio_in
from tests.bench.calls import bytes_of, called, studio_of
from tests.handover.kit import SESSION, hand_in, small_code, summed, taken
from tests.records_in_text import burn, proven

SECOND = '  - {item: waxes/soy, quantity: 5 kg, price: 31.00, lot: "%s"}\n'
BILL = f"""---
supplier: jar-house
on: 2026-01-10
lines:
  - {{item: waxes/soy, quantity: 10 kg, price: 60.00, lot: Jar House 1}}
  - {{item: fragrances/fig-oil, quantity: 1 kg, price: 48.00, lot: F-9}}
{SECOND}---
"""
FILES = {
    **proven(),
    "purchases/first.md": BILL.replace(SECOND, ""),
    "helpers/wren.md": "---\nmay: [burn, pour]\n---\n",
}
BATCH: Mapping[str, str] = {
    "recipe": "fig",
    "code": small_code(),
    "on": "2026-04-28",
    "made": "3",
    "by": "wren",
    "lots": "{waxes/soy: Jar House 1, fragrances/fig-oil: F-9}",
    "weighed": "{waxes/soy: 300.4 g, fragrances/fig-oil: 24.0 g}",
    "net": "[108.0 g, 108.1 g, 107.9 g]",
    "note": '"made: a second pot would have been too much."',
}
RECORD = f"""---
recipe: fig
on: 2026-04-28
made: 3
by: wren
code: {small_code()}
lots:
  waxes/soy: Jar House 1
  fragrances/fig-oil: F-9
weighed:
  waxes/soy: 300.4 g
  fragrances/fig-oil: 24.0 g
net: [108.0 g, 108.1 g, 107.9 g]
---
> made: a second pot would have been too much.
"""
INCIDENT: Mapping[str, str] = {
    "about": "waxes/soy",
    "lot": "Jar House 1",
    "on": "2026-04-29",
    "by": "wren",
    "what": '"It smells sour, and looks \\"cloudy\\"."',
}
TROUBLE = """---
number: 1
on: 2026-04-29
about: waxes/soy
lot: Jar House 1
what: "It smells sour, and looks \\"cloudy\\"."
---
Told by wren.
"""


def text_of(kind: str, keys: Mapping[str, str | None], edition: str = "owner", **more: str) -> str:
    """Return a file of a kind; a key that is None is left out."""
    head = {"handover": "1", "kind": kind, "session": SESSION, "written": "2026-04-30 13:42",
            "edition": edition}  # fmt: skip
    lines = {**head, **keys, **more}
    return summed([f"{key}: {value}" for key, value in lines.items() if value is not None])


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """Return a studio with an approved recipe, a bill and a helper."""
    return studio_of(tmp_path, FILES)


def _new(studio: Path, before: Mapping[str, bytes]) -> dict[str, str]:
    """Return what was written or changed among the records."""
    now = bytes_of(studio)
    return {
        path: data.decode()
        for path, data in now.items()
        if before.get(path) != data and path.startswith("records/")
    }


def test_a_batch_becomes_a_record(studio: Path) -> None:
    """Under its recipe and day; the check takes it, and the file is kept."""
    before = bytes_of(studio)
    hand_in(studio, text_of("batch", BATCH))
    answer = taken(studio)
    assert (answer.exit_code, answer.stderr) == (0, "")
    assert _new(studio, before) == {"records/batches/fig-2026-04-28.md": RECORD}
    assert "Written: records/batches/fig-2026-04-28.md, from inbox/a.txt\n" in answer.stdout
    assert called(studio, "check", "--as-of", "2026-05-01").exit_code == 0
    assert not (studio / "inbox/a.txt").exists()


def test_a_batch_twice_and_another_of_the_day(studio: Path) -> None:
    """The same values are the same pouring; others are another one, with a number."""
    before = bytes_of(studio)
    hand_in(studio, text_of("batch", BATCH))
    hand_in(studio, text_of("batch", BATCH), "b.txt")
    other = text_of("batch", BATCH, made="4", session="00ff00ff00ff00ff")
    hand_in(studio, other, "c.txt")
    answer = taken(studio)
    assert answer.exit_code == 0
    assert "Taken: 2. On file already: 1." in answer.stdout
    new = _new(studio, before)
    assert new["records/batches/fig-2026-04-28-2.md"] == RECORD.replace("made: 3", "made: 4")
    assert sorted(new) == [
        "records/batches/fig-2026-04-28-2.md",
        "records/batches/fig-2026-04-28.md",
    ]


def test_two_pots_of_a_day_that_weigh_the_same(studio: Path) -> None:
    """Each sitting is one: what another one says word for word is asked about, and counted."""
    before = bytes_of(studio)
    hand_in(studio, text_of("batch", BATCH))
    assert taken(studio).exit_code == 0
    second = text_of("batch", BATCH, session="00ff00ff00ff00ff")
    hand_in(studio, second, "b.txt")
    answer = taken(studio)
    assert answer.exit_code == 1
    assert answer.stderr.startswith(
        "inbox/b.txt:4:1: records/batches/fig-2026-04-28.md holds the very same of that day"
    )
    assert taken(studio, "--as-read").exit_code == 0
    first, other = "records/batches/fig-2026-04-28.md", "records/batches/fig-2026-04-28-2.md"
    assert _new(studio, before) == {first: RECORD, other: RECORD}
    hand_in(studio, second, "c.txt")
    hand_in(studio, text_of("batch", BATCH), "d.txt")
    assert "Taken: 0. On file already: 2." in taken(studio).stdout


def test_a_batch_whose_file_was_not_moved_is_known(studio: Path) -> None:
    """Its record is there and no file that was taken tells of it: a run died between."""
    path = studio / "records/batches/fig-2026-04-28.md"
    path.parent.mkdir()
    path.write_text(RECORD, "utf-8")
    hand_in(studio, text_of("batch", BATCH))
    assert "On file already: 1." in taken(studio).stdout
    assert path.read_text("utf-8") == RECORD


def test_what_the_check_warns_of_is_said_when_a_batch_is_taken(tmp_path: Path) -> None:
    """Whoever poured may not, or poured while an incident was open: it happened, and is told."""
    one = {**INCIDENT, "on": "2026-04-27"}
    trouble = "---\nnumber: 1\n" + "".join(f"{k}: {v}\n" for k, v in one.items() if k != "by")
    files = {**FILES, "helpers/wren.md": "---\nmay: [burn]\n---\n",
             "incidents/one.md": f"{trouble}---\n"}  # fmt: skip
    studio = studio_of(tmp_path, files)
    hand_in(studio, text_of("batch", BATCH))
    answer = taken(studio)
    assert answer.exit_code == 0
    file = "records/batches/fig-2026-04-28.md"
    assert f"{file}:5:1: warning: wren is named here, whose record does not say" in answer.stderr
    warned = f"{file}:3:1: warning: poured on 2026-04-28, while incident 1 of 2026-04-27 was open"
    assert warned in answer.stderr
    hand_in(studio, text_of("batch", BATCH, made="4", session="00ff00ff00ff00ff"), "b.txt")
    told = json.loads(taken(studio, "--json").stdout)["files"][0]["warnings"]
    assert [each["code"] for each in told] == ["batch_under_incident", "may_not"]


def test_what_an_incident_that_is_told_late_does_to_a_batch_is_said(studio: Path) -> None:
    """It was poured before anybody knew: the incident is taken, and the batch is named at once."""
    hand_in(studio, text_of("batch", BATCH))
    assert taken(studio).exit_code == 0
    hand_in(studio, text_of("incident", INCIDENT, on="2026-04-20"), "b.txt")
    answer = taken(studio)
    assert answer.exit_code == 0
    assert answer.stderr.startswith(
        "records/batches/fig-2026-04-28.md:3:1: warning: poured on 2026-04-28, while incident 1 "
        "of 2026-04-20 was open."
    )
    assert "into records/incidents/incident-1.md, such as 'told:" in answer.stderr


def test_a_batch_that_was_told_otherwise_is_counted_once(studio: Path) -> None:
    """A slip that was mended at the pot, handed over again: it stays, unless it is another pour."""
    hand_in(studio, text_of("batch", BATCH))
    assert taken(studio).exit_code == 0
    before = bytes_of(studio)
    hand_in(studio, text_of("batch", BATCH, made="4"))
    answer = taken(studio)
    assert answer.exit_code == 1
    assert answer.stderr.startswith(
        "inbox/a.txt:4:1: this pour was handed over before, as taken/a.txt"
    )
    assert _new(studio, before) == {}
    assert taken(studio, "--as-read").exit_code == 0
    assert list(_new(studio, before)) == ["records/batches/fig-2026-04-28-2.md"]


def test_a_batch_without_what_may_stay_away(studio: Path) -> None:
    """Neither masses nor weights nor a note: the record is as short."""
    before = bytes_of(studio)
    short = {**BATCH, "weighed": "{}", "net": "[]", "note": None}
    hand_in(studio, text_of("batch", short))
    assert taken(studio).exit_code == 0
    head = RECORD[: RECORD.index("weighed:")]
    assert _new(studio, before) == {"records/batches/fig-2026-04-28.md": f"{head}---\n"}


def test_more_batches_of_a_day_than_have_names(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A folder of hundreds of one day is no studio's, and ends in a sentence."""
    monkeypatch.setattr(take_new, "_MOST_A_DAY", 1)
    for made in ("3", "4"):
        hand_in(studio, text_of("batch", BATCH, made=made))
        answer = taken(studio)
    assert answer.stderr == (
        "inbox/a.txt:2:1: there are 1 records called records/batches/fig-2026-04-28.md and so on. "
        "Write it by hand.\n"
    )


# What is handed over, and the answer: the place, and what is said there.
REFUSED: dict[str, tuple[dict[str, str | None], str]] = {
    "unknown recipe": ({"recipe": "fog"}, ("7:1: found 'fog', but there is no recipes/fog.md (did "
                       "you mean 'fig'?).")),
    "another code": ({"code": "ZYCL-4YLR-6X9V"}, ("8:1: found the code 'ZYCL-4YLR-6X9V', but "
                     f"records/recipes/fig.md has {small_code()}.")),
    "unknown lot": ({"lots": "{waxes/soy: Jar Hose 1}"}, ("12:8: found lot 'Jar Hose 1' of "
                    "waxes/soy, which no purchase lists (did you mean 'Jar House 1'?).")),
    "unknown item": ({"lots": "{waxes/soja: X}"}, ("12:8: found 'soja', but there is no "
                     "waxes/soja.md (did you mean 'soy'?).")),
    "unknown helper": ({"by": "bruno"}, "11:1: found 'bruno', but there is no helpers/bruno.md."),
    "a day to come": ({"on": "2026-05-02"}, "9:1: dated 2026-05-02, which is after 2026-05-01"),
    "before it was proven": ({"on": "2026-03-18"}, ("9:1: poured on 2026-03-18, when fig was not "
                             "approved; it is approved only since 2026-03-19.")),
    "more weights than candles": ({"made": "2"}, ("14:1: found 3 candles under 'net', but 2 were "
                                  "made. Mend the counts.")),
    "no lots": ({"lots": "none"}, "12:7: found 'none' for 'lots'; expected keys with values"),
    "a mass without unit": ({"net": "[108]"}, "14:7: found '108' without a unit"),
    "no code": ({"code": None}, "2:1: the key 'code' is missing; expected the code of the candle."),
    "a key of cycles": ({"burn": "fig-a"}, "16:1: found the unknown key 'burn'"),
    "a note that no record bears": ({"note": "x" * 5001}, ("2:1: the line is larger than any "
                                    "record needs.")),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_a_batch_that_stays(studio: Path, case: str) -> None:
    """Nothing is written: what the check would refuse is told where the file says it."""
    changed, expected = REFUSED[case]
    hand_in(studio, text_of("batch", {**BATCH, **changed}))
    before = bytes_of(studio)
    answer = taken(studio, "--as-read")
    assert answer.stderr.startswith(f"inbox/a.txt:{expected}"), answer.stderr
    assert (answer.exit_code, bytes_of(studio)) == (1, before)


def test_records_at_fault_take_no_batch(tmp_path: Path) -> None:
    """What a name or a code means is told by all of them; the file waits."""
    studio = studio_of(tmp_path, {**FILES, "burns/fig-a.md": burn("A", wick="cotton-9")})
    for kind, keys in (("batch", BATCH), ("incident", INCIDENT)):
        hand_in(studio, text_of(kind, keys))
        before = bytes_of(studio)
        answer = taken(studio)
        assert answer.stderr.splitlines()[0].startswith(
            "inbox/a.txt:2:1: the records are at fault (1), so that this file cannot be held"
        )
        assert "there is no wicks/cotton-9.md" in answer.stderr
        changed = {path for path, data in bytes_of(studio).items() if before.get(path) != data}
        assert changed == set()


def test_an_incident_becomes_a_record_and_is_counted(studio: Path) -> None:
    """Both or neither; the check takes it, and the batch of that lot is suspended by it."""
    before = bytes_of(studio)
    hand_in(studio, text_of("incident", INCIDENT))
    answer = taken(studio)
    assert (answer.exit_code, answer.stderr) == (0, "")
    new = _new(studio, before)
    assert new.pop("records/incidents/incident-1.md") == TROUBLE
    counted = before["records/studio.md"].decode().replace("\n---\n", "\nincidents: 1\n---\n")
    assert new == {"records/studio.md": counted}
    assert called(studio, "check", "--as-of", "2026-05-01").exit_code == 0


def test_incidents_are_numbered_and_written_once(studio: Path) -> None:
    """Twice the same is one incident; another is the next one."""
    for name, on in (("a.txt", "2026-04-29"), ("b.txt", "2026-04-29"), ("c.txt", "2026-04-30")):
        hand_in(studio, text_of("incident", INCIDENT, on=on), name)
    answer = taken(studio)
    assert "Taken: 2. On file already: 1." in answer.stdout
    known = read_folder(studio / "records")
    assert sorted(known.records["incidents"]) == ["incident-1", "incident-2"]
    assert known.studio is not None
    assert known.studio.incidents == 2
    assert studio_in(studio / "records")[1] == ()


def test_what_happens_again_after_it_was_closed_is_another_incident(studio: Path) -> None:
    """The same file is known; one that was written once it was closed suspends anew."""
    text = text_of("incident", INCIDENT, on="2026-04-20", written="2026-04-20 10:00")
    hand_in(studio, text)
    assert "Taken: 1." in taken(studio).stdout
    path = studio / "records/incidents/incident-1.md"
    closed = "closed: {on: 2026-04-25, finding: It was the lamp.}\n---\n"
    path.write_text(closed.join(path.read_text().rsplit("---\n", 1)))
    hand_in(studio, text, "b.txt")
    assert "On file already: 1." in taken(studio).stdout
    hand_in(studio, text_of("incident", INCIDENT, on="2026-04-20", session="00" * 8), "c.txt")
    answer = taken(studio)
    assert "Taken: 1." in answer.stdout, answer.output
    assert (studio / "records/incidents/incident-2.md").is_file()
    assert called(studio, "check", "--as-of", "2026-05-01").exit_code == 0


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({"about": "waxes/soja"}, "7:1: found 'soja', but there is no waxes/soja.md"),
        ({"lot": "J-2"}, "8:1: found lot 'J-2' of waxes/soy, which no purchase lists"),
        ({"about": "recipes/fig"}, ("8:1: found a lot, but recipes/fig comes in none; only what is "
         "bought does.")),
        ({"what": "'?'"}, "11:7: found '?' for 'what'; expected a reason in words"),
        ({"on": "2026-05-02"}, "9:1: dated 2026-05-02, which is after 2026-05-01"),
    ],
)  # fmt: skip
def test_an_incident_that_stays(studio: Path, changed: dict[str, str], expected: str) -> None:
    """As a batch does."""
    hand_in(studio, text_of("incident", {**INCIDENT, **changed}))
    before = bytes_of(studio)
    answer = taken(studio)
    assert answer.stderr.startswith(f"inbox/a.txt:{expected}"), answer.stderr
    assert (answer.exit_code, bytes_of(studio)) == (1, before)


def test_an_incident_that_a_dead_run_did_not_count(studio: Path) -> None:
    """The next one finds it on file, counts it and moves the file; of another it says so."""
    (studio / "records/incidents").mkdir()
    record = studio / "records/incidents/incident-1.md"
    record.write_text(TROUBLE)
    hand_in(studio, text_of("incident", INCIDENT, on="2026-04-30"))
    answer = taken(studio)
    assert answer.stderr == (
        "inbox/a.txt:2:1: studio.md counts its incidents as 0, and on file: 1. Look for what is "
        "missing, then take this file.\n"
    )
    hand_in(studio, text_of("incident", INCIDENT))
    answer = taken(studio)
    assert (answer.exit_code, "On file already: 1." in answer.stdout) == (0, True)
    assert studio_in(studio / "records")[1] == ()


# ---- The floor edition has other names.


def _two_of_a_day(studio: Path) -> dict[str, str]:
    """Put two batches of one day, and one of another, on file, and two lots of one delivery."""
    (studio / "records/batches").mkdir()
    for name, on, made in (("for-harbour", "2026-04-20", 3), ("second", "2026-04-20", 4),
                           ("bookshop", "2026-04-21", 5)):  # fmt: skip
        text = RECORD.replace("on: 2026-04-28", f"on: {on}").replace("made: 3", f"made: {made}")
        (studio / f"records/batches/{name}.md").write_text(text)
    linked, problems = link(read_folder(studio / "records", "records/"))
    assert linked is not None, problems
    return dict(names_for(linked).batches)


def test_a_batch_by_its_neutral_name(studio: Path) -> None:
    """The page of the floor edition calls it by recipe and day; the record calls it by its own."""
    names = _two_of_a_day(studio)
    about = f"batches/{names['bookshop']}"
    assert about == "batches/fig-2026-04-21"
    hand_in(studio, text_of("incident", {**INCIDENT, "about": about, "lot": None}, "floor"))
    assert taken(studio).exit_code == 0
    record = (studio / "records/incidents/incident-1.md").read_text()
    assert "\nabout: batches/bookshop\n" in record


def test_a_neutral_name_that_may_mean_two(studio: Path) -> None:
    """Their numbers change when another one comes: nobody can tell which was meant."""
    names = _two_of_a_day(studio)
    assert {names["for-harbour"], names["second"]} == {"fig-2026-04-20", "fig-2026-04-20-2"}
    for about in ("fig-2026-04-20", "fig-2026-04-20-2"):
        keys = {**INCIDENT, "about": f"batches/{about}", "lot": None}
        hand_in(studio, text_of("incident", keys, "floor"))
        answer = taken(studio)
        assert answer.stderr == (
            f"inbox/a.txt:7:1: found 'batches/{about}', which may be any of for-harbour, second "
            "since others have come. Write the record by hand.\n"
        )


@pytest.mark.parametrize("lot", ["Jar House 1", "2026-01-10"])
def test_a_lot_by_its_neutral_name(studio: Path, lot: str) -> None:
    """What stands on the package is a lot's own name; the pages of the floor have its day."""
    before = bytes_of(studio)
    keys = {**BATCH, "lots": f"{{waxes/soy: {lot}, fragrances/fig-oil: 2026-01-10}}"}
    hand_in(studio, text_of("batch", keys, "floor"))
    hand_in(studio, text_of("incident", {**INCIDENT, "lot": lot}, "floor"), "b.txt")
    answer = taken(studio)
    assert (answer.exit_code, answer.stderr) == (0, "")
    new = _new(studio, before)
    assert new["records/batches/fig-2026-04-28.md"] == RECORD
    assert new["records/incidents/incident-1.md"] == TROUBLE


def test_a_lot_that_may_be_two(tmp_path: Path) -> None:
    """Two of a day, or one that is called as another's day."""
    for number, second in enumerate(("W-2", "2026-01-10")):
        studio = studio_of(tmp_path / str(number), {**FILES, "purchases/first.md": BILL % second})
        for kind, keys in (("batch", {**BATCH, "lots": "{waxes/soy: 2026-01-10}"}),
                           ("incident", {**INCIDENT, "lot": "2026-01-10"})):  # fmt: skip
            hand_in(studio, text_of(kind, keys, "floor"))
            answer = taken(studio)
            both = ", ".join(sorted(["Jar House 1", second]))
            assert f": found '2026-01-10', which may be any of {both} since" in answer.stderr


def test_the_owners_edition_has_its_own_names(studio: Path) -> None:
    """There a neutral name is none."""
    _two_of_a_day(studio)
    keys = {**INCIDENT, "about": "batches/fig-2026-04-21", "lot": None}
    hand_in(studio, text_of("incident", keys))
    answer = taken(studio)
    assert answer.stderr.startswith("inbox/a.txt:7:1: found 'fig-2026-04-21', but there")
    assert answer.exit_code == 1
