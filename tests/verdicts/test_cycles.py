"""One cycle, clause by clause, from the text that a maker would write."""

from datetime import date

import pytest

from tests.records_in_text import BASE, FULL_CYCLE, STUDIO, VESSEL, burn, whole_life
from tests.verdicts.told import candle, codes, judged, numbers, told, without

SHIPPED_FLAME = (
    "EN 15493:2007 for container candles, from a trade summary; the American figure (ASTM F2417, "
    "also 75 mm) is from memory: check against a bought copy of the standard"
)
HOUSE = {
    **BASE,
    "studio.md": STUDIO.replace("protocol: default", "protocol: house"),
}


def _house(text: str) -> dict[str, str]:
    return {**HOUSE, "protocols/house.md": f"---\n{text}---\n"}


def _life(index: int, old: str, new: str) -> list[str]:
    life = whole_life()
    assert old in life[index]
    life[index] = life[index].replace(old, new)
    return life


def test_a_candle_that_behaves() -> None:
    """Every cycle passes, with nothing to fail, to miss, to watch or to note."""
    verdict = candle()
    assert [one.verdict for one in verdict.cycles] == ["pass"] * 4
    assert [one.number for one in verdict.cycles] == [1, 2, 3, 4]
    for one in verdict.cycles:
        assert (one.failures, one.gaps, one.watches, one.notes) == ((), (), (), ())
    assert verdict.verdict == "pass"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "flame: 22 mm",
            "flame: 75.5 mm",
            ("flame_over", {"reading_mm": 75.5, "limit_mm": 75.0, "source": SHIPPED_FLAME}),
        ),
        (
            "wall: 52 degC",
            "wall: 80.5 degC",
            (
                "wall_over",
                {
                    "reading_c": 80.5,
                    "limit_c": 80.0,
                    "source": "common practice, no published limit",
                },
            ),
        ),
    ],
)
def test_a_failing_limit(old: str, new: str, expected: tuple[str, dict[str, object]]) -> None:
    """A reading beyond a failing limit fails the cycle, the line and the numbers told."""
    verdict = candle(cycles=_life(1, old, new))
    code, details = expected
    assert [one.verdict for one in verdict.cycles] == ["pass", "fail", "pass", "pass"]
    assert told(verdict.cycles[1].failures) == [(code, 16, {"cycle": 2, **details})]
    assert verdict.verdict == "fail"


@pytest.mark.parametrize(
    ("old", "new"), [("flame: 22 mm", "flame: 75 mm"), ("wall: 52 degC", "wall: 80 degC")]
)
def test_equal_to_a_limit_is_within(old: str, new: str) -> None:
    """A limit is the last value that is allowed."""
    assert candle(cycles=_life(1, old, new)).verdict == "pass"


def test_what_is_watched() -> None:
    """A watch is listed and does not fail: wall, depth, after-smoke of one cycle."""
    life = _life(1, "wall: 52 degC", "wall: 61 degC")
    life[1] = life[1].replace("depth: 8 mm", "depth: 14 mm").replace("smoke: 8 s", "smoke: 31 s")
    verdict = candle(cycles=life)
    assert verdict.verdict == "pass"
    assert [(code, line) for code, line, _ in told(verdict.cycles[1].watches)] == [
        ("wall_over", 16),
        ("depth_over", 16),
        ("after_smoke_over", 16),
    ]
    assert numbers(verdict.cycles[1].watches[1])["limit_mm"] == 13.0
    assert numbers(verdict.cycles[1].watches[2])["reading_s"] == pytest.approx(31.0)
    assert numbers(verdict.cycles[1].watches[2])["limit_s"] == pytest.approx(30.0)


def test_the_pool_is_due_from_its_cycle_on() -> None:
    """Coverage counts from cycle 3 on in full cycles, not before and not in the last."""
    early = [one.replace("pool: 70 mm", "pool: 60 mm") for one in whole_life()[:2]]
    assert candle(cycles=[*early, *whole_life()[2:]]).verdict == "pass"
    late = candle(cycles=_life(2, "pool: 70 mm", "pool: 60 mm"))
    assert told(late.failures) == [
        (
            "coverage_under",
            17,
            {
                "cycle": 3,
                "reading_share": pytest.approx(60 / 72),
                "limit_share": pytest.approx(0.95),
                "source": "common practice, no published source: "
                "a pool that stops short of the wall tunnels",
            },
        )
    ]
    last = _life(3, "flame: 15 mm", "flame: 15 mm, pool: 20 mm")
    assert candle(cycles=last).verdict == "pass"


def test_coverage_at_its_limit() -> None:
    """95 % of the inside diameter is a full pool; a hair less is not."""
    assert candle(cycles=_life(2, "pool: 70 mm", "pool: 68.4 mm")).verdict == "pass"
    assert candle(cycles=_life(2, "pool: 70 mm", "pool: 68.39 mm")).verdict == "fail"


def test_a_limit_from_below_and_one_of_the_studio() -> None:
    """A studio's own limit is judged like any other, and its reading becomes due."""
    files = _house(
        "limits:\n  - {measure: flame, at_least: 10 mm, on_breach: fail, published: no, "
        "source: ours}\n  - {measure: depth, at_most: 9 mm, on_breach: fail, published: no, "
        "source: ours}\n"
    )
    low = candle(files=files, cycles=_life(0, "flame: 22 mm", "flame: 9.9 mm"))
    assert told(low.failures) == [
        ("flame_under", 15, {"cycle": 1, "reading_mm": 9.9, "limit_mm": 10.0, "source": "ours"})
    ]
    assert candle(files=files, cycles=_life(0, "flame: 22 mm", "flame: 10 mm")).verdict == "pass"
    unread = candle(files=files, cycles=[without(whole_life()[0], "depth"), *whole_life()[1:]])
    assert told(unread.gaps) == [("reading_missing", 15, {"cycle": 1, "reading": "depth"})]


@pytest.mark.parametrize("word", ["secondary_ignition", "flare_up", "crack", "leak", "sooting"])
def test_what_was_seen_and_fails(word: str) -> None:
    """A critical sight fails the candle."""
    verdict = candle(cycles=_life(1, "flame: 22 mm", f"flame: 22 mm, seen: [{word}]"))
    assert told(verdict.failures) == [("seen", 16, {"cycle": 2, "word": word})]


def test_what_was_seen_and_is_only_watched_or_noted() -> None:
    """The protocol's word decides: watch is listed, a note is kept, neither fails."""
    life = _life(1, "flame: 22 mm", "flame: 22 mm, seen: [mushrooming, frosting]")
    verdict = candle(cycles=life)
    assert verdict.verdict == "pass"
    assert told(verdict.cycles[1].watches) == [("seen", 16, {"cycle": 2, "word": "mushrooming"})]
    assert told(verdict.cycles[1].notes) == [("seen", 16, {"cycle": 2, "word": "frosting"})]
    assert verdict.cycles[1].verdict == "pass"


@pytest.mark.parametrize("reading", ["before", "after", "burned", "pool", "flame", "wall"])
def test_a_reading_that_is_due(reading: str) -> None:
    """Each needed reading that a full cycle lacks makes it incomplete, and names the line."""
    life = whole_life()
    life[1] = without(life[1], reading)
    verdict = candle(cycles=life)
    assert told(verdict.gaps) == [("reading_missing", 16, {"cycle": 2, "reading": reading})]
    assert verdict.cycles[1].verdict == "incomplete"
    assert verdict.verdict == "incomplete"


def test_a_failing_limit_makes_its_reading_due() -> None:
    """A protocol that forgets a reading in `needs` does not thereby switch its limit off."""
    files = _house("needs: [before, after, burned]\n")
    life = whole_life()
    life[1] = without(without(life[1], "flame"), "pool")
    life[2] = without(life[2], "pool")
    verdict = candle(files=files, cycles=life)
    assert told(verdict.gaps) == [
        ("reading_missing", 16, {"cycle": 2, "reading": "flame"}),
        ("reading_missing", 17, {"cycle": 3, "reading": "pool"}),
    ]


def test_a_watched_limit_does_not_make_its_reading_due() -> None:
    """Depth is watched only: a cycle without it passes."""
    life = whole_life()
    life[1] = without(life[1], "depth")
    assert candle(cycles=life).verdict == "pass"


@pytest.mark.parametrize("reading", ["before", "after", "burned", "flame"])
def test_what_the_last_cycle_needs(reading: str) -> None:
    """The last cycle of an ended candle needs its masses, its time and its flame."""
    life = whole_life()
    life[3] = without(life[3], reading)
    verdict = candle(cycles=life)
    assert told(verdict.gaps) == [("reading_missing", 18, {"cycle": 4, "reading": reading})]


def test_a_burning_candle_has_no_last_cycle_yet() -> None:
    """Until the end is written down, every cycle is judged as a full one."""
    verdict = candle(end="")
    assert verdict.verdict == "burning"
    assert told(verdict.gaps) == [
        ("reading_missing", 18, {"cycle": 4, "reading": "pool"}),
        ("reading_missing", 18, {"cycle": 4, "reading": "wall"}),
        ("reading_missing", 18, {"cycle": 4, "reading": "after_smoke"}),
        ("too_short", 18, {"cycle": 4, "burned_h": pytest.approx(19 / 6), "due_h": 4.0,
                           "tolerance_h": 0.25}),
        ("not_ended", 14, {}),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("burned", "code"),
    [
        ("3 h 45 min", None),
        ("3 h 44 min", "too_short"),
        ("4 h 15 min", None),
        ("4 h 16 min", "too_long"),
    ],
)
def test_how_long_a_full_cycle_is(burned: str, code: str | None) -> None:
    """A full cycle is 4 h, a quarter of an hour more or less."""
    verdict = candle(cycles=_life(1, "burned: 4 h", f"burned: {burned}"))
    assert codes(verdict.gaps) == ([] if code is None else [code])
    for one in verdict.gaps:
        assert one.place.line == 16
        assert numbers(one)["due_h"] == 4.0
        assert numbers(one)["tolerance_h"] == 0.25


def test_how_long_the_last_cycle_is() -> None:
    """The last may be short only when the candle went out, and never too long."""
    assert codes(candle(cycles=_life(3, "3 h 10 min", "4 h 16 min")).gaps) == ["too_long"]
    assert codes(candle(cycles=_life(3, "3 h 10 min", "10 min")).gaps) == []
    stopped = candle(
        end="{how: stopped, why: tired of it, left: 9 g, vessel: sound, tilt: steady, cycles: 4}"
    )
    assert told(stopped.gaps)[0][:2] == ("too_short", 18)
    assert told(stopped.gaps)[1] == ("stopped", 19, {"why": "tired of it"})


def test_what_a_whole_last_cycle_of_a_stopped_candle_needs() -> None:
    """All that a full one does: a test is often stopped for just what such a cycle showed."""
    end = "{how: stopped, why: too hot, left: 4.0 g, vessel: sound, tilt: steady, cycles: 4}"
    whole = FULL_CYCLE % (19, 322.0, 296.0)
    for reading in ("wall", "depth", "after_smoke"):
        life = [*whole_life()[:3], without(whole, reading)]
        missing = [
            one.details["reading"]
            for one in candle(cycles=life, end=end).gaps
            if one.code == "reading_missing"
        ]
        assert missing == ([] if reading == "depth" else [reading]), reading
    short = [*whole_life()[:3], without(whole, "wall").replace("burned: 4 h", "burned: 1 h")]
    assert "reading_missing" not in codes(candle(cycles=short, end=end).gaps)


def _timed(first: str, second: str, burned: str = "4 h") -> list[str]:
    life = whole_life()
    life[0] = life[0].replace("on: 2026-03-16", f"on: {first}")
    life[0] = life[0].replace("burned: 4 h", f"burned: {burned}")
    life[1] = life[1].replace("on: 2026-03-17", f"on: {second}")
    return life


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        ("2026-03-16 08:00", "2026-03-16 13:00", None),
        ("2026-03-16 08:00", "2026-03-16 12:59", "rest_too_short"),
        ("2026-03-16 22:00", "2026-03-17 02:30", "rest_too_short"),
        ("2026-03-16 22:00", "2026-03-17 03:00", None),
        ("2026-03-16", "2026-03-16", "rest_unknown"),
        ("2026-03-16 08:00", "2026-03-16", "rest_unknown"),
        ("2026-03-16 23:00", "2026-03-17", "rest_unknown"),
        ("2026-03-16 19:00", "2026-03-17", None),
        ("2026-03-16 19:01", "2026-03-17", "rest_unknown"),
        ("2026-03-16", "2026-03-17 04:59", "rest_unknown"),
        ("2026-03-16", "2026-03-17 05:00", None),
        ("2026-03-16", "2026-03-17", None),
        ("2026-03-17", "2026-03-16", "dates_backwards"),
        ("2026-03-16 13:00", "2026-03-16 08:00", "dates_backwards"),
        ("2026-03-16 08:00", "2026-03-16 08:00", "rest_too_short"),
    ],
)
def test_the_rest_between_cycles(first: str, second: str, code: str | None) -> None:
    """From the times where both have them; with one alone, the other may be any of its day.

    A time that is left out never makes up for a rest that was too short; two days without any
    time are rest enough.
    """
    verdict = candle(cycles=_timed(first, second))
    assert [(c, line) for c, line, _ in told(verdict.gaps)] == (
        [] if code is None else [(code, 16)]
    )


@pytest.mark.parametrize(
    ("first", "second", "known"),
    [
        ("2026-03-16 08:00", "2026-03-17", False),
        ("2026-03-16", "2026-03-17 23:00", False),
        ("2026-03-16 08:00", "2026-03-17 08:00", False),
        ("2026-03-16", "2026-03-17", True),
    ],
)
def test_a_rest_after_a_cycle_of_unknown_length(first: str, second: str, *, known: bool) -> None:
    """Without its hours it may have burned until the next was lit: only days apart help."""
    life = _timed(first, second)
    life[0] = life[0].replace("burned: 4 h, ", "")
    assert "burned" not in life[0]
    told_of = [one.code for one in candle(cycles=life).cycles[1].gaps]
    assert ("rest_unknown" not in told_of) is known


def test_a_rest_too_short_tells_how_long_it_was() -> None:
    """Half an hour of rest where the protocol asks for one."""
    verdict = candle(cycles=_timed("2026-03-16 08:00", "2026-03-16 12:30"))
    assert told(verdict.gaps) == [
        ("rest_too_short", 16, {"cycle": 2, "rested_h": pytest.approx(0.5), "rest_h": 1.0})
    ]


def test_a_rest_that_cannot_be_known() -> None:
    """With the last cycle's length unread, its end and so the rest is unknown."""
    life = _timed("2026-03-16 08:00", "2026-03-16 13:00")
    life[0] = without(life[0], "burned")
    assert told(candle(cycles=life).gaps) == [
        ("reading_missing", 15, {"cycle": 1, "reading": "burned"}),
        ("rest_unknown", 16, {"cycle": 2}),
    ]


def test_dates_backwards_names_the_later_cycle() -> None:
    """It is the cycle in the wrong place that is told."""
    verdict = candle(cycles=_timed("2026-03-17", "2026-03-16"))
    assert told(verdict.gaps) == [("dates_backwards", 16, {"cycle": 2})]


def test_a_mass_that_went_up() -> None:
    """A burning candle gains no mass, and one that loses none did not burn."""
    left = "{how: went_out, left: 26 g, vessel: sound, tilt: steady, cycles: 4}"
    up = candle(cycles=[*whole_life()[:3], whole_life()[3].replace("301.0 g", "322.1 g")], end=left)
    assert told(up.gaps) == [
        ("mass_went_up", 18, {"cycle": 4, "before_g": 322.0, "after_g": 322.1})
    ]
    level = candle(
        cycles=[*whole_life()[:3], whole_life()[3].replace("301.0 g", "322.0 g")], end=left
    )
    assert told(level.gaps) == [("nothing_burned", 18, {"cycle": 4, "after_g": 322.0})]
    least = candle(
        cycles=[*whole_life()[:3], whole_life()[3].replace("301.0 g", "321.9 g")], end=left
    )
    assert least.gaps == ()


@pytest.mark.parametrize(
    ("before", "jumps"), [("374.2", False), ("374.3", True), ("373.8", False), ("373.7", True)]
)
def test_a_mass_that_jumped(before: str, *, jumps: bool) -> None:
    """Between two cycles the mass may differ by twice the scale's readability."""
    verdict = candle(cycles=_life(1, "before: 374.0 g", f"before: {before} g"))
    details = {"before_g": float(before), "last_g": 374.0, "trimmed_g": 0.0, "scale_g": 0.1}
    expected = [("mass_jumped", 16, {"cycle": 2, **details})] if jumps else []
    assert told(verdict.gaps) == expected


def test_a_trimmed_wick_explains_the_mass() -> None:
    """What was cut from the wick is allowed for, and no more."""
    cut = "before: 373.4 g, trimmed: 0.6 g"
    end = "{how: went_out, left: 5 g, vessel: sound, tilt: steady, cycles: 4}"
    assert candle(cycles=_life(1, "before: 374.0 g", cut), end=end).gaps == ()
    too_much = candle(cycles=_life(1, "before: 374.0 g", cut.replace("0.6", "0.9")), end=end)
    assert told(too_much.gaps) == [
        (
            "mass_jumped",
            16,
            {"cycle": 2, "before_g": 373.4, "last_g": 374.0, "trimmed_g": 0.9, "scale_g": 0.1},
        )
    ]


def test_a_pool_wider_than_its_vessel() -> None:
    """Up to 102 % of the inside diameter is measuring; beyond it is a contradiction."""
    assert candle(cycles=_life(1, "pool: 70 mm", "pool: 73.44 mm")).gaps == ()
    wide = candle(cycles=_life(1, "pool: 70 mm", "pool: 73.5 mm"))
    assert told(wide.gaps) == [
        ("pool_too_wide", 16, {"cycle": 2, "pool_mm": 73.5, "inside_mm": 72.0})
    ]


def test_a_cycle_before_the_pouring() -> None:
    """A candle cannot burn before it was poured."""
    life = _life(0, "on: 2026-03-16", "on: 2026-02-28")
    assert told(candle(cycles=life).gaps) == [
        ("not_cured", 15, {"cured_days": -1, "cure_days": 14.0}),
        ("before_pouring", 15, {"cycle": 1, "made_on": date(2026, 3, 1)}),
    ]


def test_a_candle_lit_on_the_day_it_was_poured() -> None:
    """With a wax that needs no cure, the first cycle may be on the same day."""
    wax = BASE["waxes/soy.md"].replace("cure: 14 days", "cure: 0 days")
    life = _life(0, "on: 2026-03-16", "on: 2026-03-01")
    assert candle(files={**BASE, "waxes/soy.md": wax}, cycles=life).gaps == ()


def test_a_failing_cycle_tells_what_it_lacks_too() -> None:
    """A failure is the verdict; what is missing beside it is still told."""
    life = _life(1, "flame: 22 mm", "flame: 80 mm")
    life[1] = without(life[1], "wall")
    verdict = candle(cycles=life)
    assert verdict.cycles[1].verdict == "fail"
    assert codes(verdict.cycles[1].failures) == ["flame_over"]
    assert codes(verdict.cycles[1].gaps) == ["reading_missing"]


def test_later_cycles_are_not_seen() -> None:
    """As of an earlier day, only the cycles burned by then exist, and no end."""
    verdict = candle(date(2026, 3, 17))
    assert [one.number for one in verdict.cycles] == [1, 2]
    assert verdict.verdict == "burning"
    assert verdict.seen.end is None
    assert candle(date(2026, 3, 19)).verdict == "pass"


@pytest.mark.parametrize(
    ("index", "old", "new", "code", "key"),
    [
        (1, "flame: 22 mm", "flame: 80 mm", "flame_over", "flame"),
        (2, "pool: 70 mm", "pool: 60 mm", "coverage_under", "pool"),
        (1, "wall: 52 degC", "wall: 70 degC", "wall_over", "wall"),
        (1, "flame: 22 mm", "flame: 22 mm, seen: [crack]", "seen", "seen"),
        (1, "flame: 22 mm, ", "", "reading_missing", "on"),
        (1, "burned: 4 h", "burned: 5 h", "too_long", "burned"),
        (1, "burned: 4 h", "burned: 3 h", "too_short", "burned"),
        (1, "on: 2026-03-17", "on: 2026-03-15", "dates_backwards", "on"),
        (1, "on: 2026-03-17", "on: 2026-03-16", "rest_unknown", "on"),
        (0, "on: 2026-03-16", "on: 2026-02-16", "before_pouring", "on"),
        (3, "after: 301.0 g", "after: 330.0 g", "mass_went_up", "after"),
        (1, "before: 374.0 g", "before: 384.0 g", "mass_jumped", "before"),
        (1, "pool: 70 mm", "pool: 90 mm", "pool_too_wide", "pool"),
    ],
)
def test_every_reason_points_at_its_word(
    index: int, old: str, new: str, code: str, key: str
) -> None:
    """Line and column lead to the very key that shows it."""
    text = burn(cycles=_life(index, old, new))
    cycle = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle.cycles[index]
    everything = (*cycle.failures, *cycle.gaps, *cycle.watches)
    places = [one.place for one in everything if one.code == code]
    lines = text.splitlines()
    assert [lines[at.line - 1][at.column - 1 :].startswith(key) for at in places] == [True]


@pytest.mark.parametrize(
    ("first", "second"),
    [("2026-03-16 08:00", "2026-03-16 12:30"), ("2026-03-16 08:00, skip", "2026-03-16 13:00")],
)
def test_a_rest_points_at_its_day(first: str, second: str) -> None:
    """Too short, or not to be known: the day of the cycle is where to look."""
    life = _timed(first.removesuffix(", skip"), second)
    if first.endswith("skip"):
        life[0] = without(life[0], "burned")
    text = burn(cycles=life)
    gaps = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle.cycles[1].gaps
    lines = text.splitlines()
    assert [lines[one.place.line - 1][one.place.column - 1 :][:2] for one in gaps] == ["on"]


def test_the_vessel_of_the_candle_decides_the_pool() -> None:
    """Coverage is of the vessel that was really used."""
    wide = VESSEL.replace("72 mm", "80 mm")
    files = {**BASE, "vessels/wide.md": wide}
    text = burn().replace("vessel: tumbler", "vessel: wide").replace("ter: 72 mm", "ter: 80 mm")
    verdict = judged({**files, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert codes(verdict.failures) == ["coverage_under"]


# --- The room, and limits for one material ---


@pytest.mark.parametrize(
    ("room", "code"),
    [
        ("15 degC", None),
        ("14.9 degC", "room_under"),
        ("25 degC", None),
        ("25.1 degC", "room_over"),
        ("100.4 degF", "room_over"),
    ],
)
def test_the_room_is_watched(room: str, code: str | None) -> None:
    """15 to 25 °C: the shipped limits, from EN 15426's 20 ± 5 °C (read second-hand)."""
    verdict = candle(cycles=_life(1, "wall: 52 degC", f"wall: 52 degC, room: {room}"))
    assert verdict.verdict == "pass"
    assert codes(verdict.cycles[1].watches) == ([] if code is None else [code])
    assert all(one.watches == () for one in verdict.cycles if one.number != 2)


def test_a_room_that_was_read_once_holds_for_every_cycle() -> None:
    """Unless a cycle says another."""
    life = _life(1, "wall: 52 degC", "wall: 52 degC, room: 20 degC")
    verdict = candle(cycles=life, more="room: 30 degC\n")
    watched = [codes(one.watches) for one in verdict.cycles]
    assert watched == [["room_over"], [], ["room_over"], ["room_over"]]
    details = numbers(verdict.cycles[0].watches[0])
    assert (details["reading_c"], details["limit_c"]) == (30.0, 25.0)


def test_a_room_may_be_asked_for() -> None:
    """By `needs`, or by a limit that fails; the burn's own room answers for every cycle."""
    files = _house("needs: [before, room]\n")
    unread = candle(files=files)
    assert [(one.code, one.details["reading"]) for one in unread.gaps] == [
        ("reading_missing", "room")
    ] * 3
    assert candle(files=files, more="room: 20 degC\n").gaps == ()
    failing = _house(
        "limits:\n  - {measure: room, at_most: 30 degC, on_breach: fail, published: no, "
        "source: ours}\n"
    )
    assert codes(candle(files=failing).gaps) == ["reading_missing"] * 3
    assert candle(files=failing, more="room: 31 degC\n").verdict == "fail"


METAL_WALL = (
    "limits:\n  - {measure: wall, at_most: 50 degC, on_breach: fail, published: no, "
    "source: ours, material: metal}\n"
)


def test_a_limit_for_one_material() -> None:
    """Bare metal burns skin sooner than glass: 52 °C fails the tin, and not the tumbler."""
    files = _house(METAL_WALL)
    assert candle(files=files).verdict == "pass"
    tin = {**files, "vessels/tumbler.md": VESSEL.replace("glass", "metal")}
    verdict = candle(files=tin)
    assert [codes(one.failures) for one in verdict.cycles] == [["wall_over"]] * 3 + [[]]
    assert numbers(verdict.failures[0])["limit_c"] == 50.0


def test_a_limit_for_one_material_stands_beside_that_for_all() -> None:
    """It takes nothing from what is asked of every vessel, and makes no reading due elsewhere."""
    lax = METAL_WALL.replace("50 degC", "90 degC")
    tin = {**_house(lax), "vessels/tumbler.md": VESSEL.replace("glass", "metal")}
    assert codes(candle(files=tin, cycles=_life(1, "52 degC", "81 degC")).failures) == ["wall_over"]
    room = _house(METAL_WALL.replace("measure: wall", "measure: room"))
    assert candle(files=room).gaps == ()


def test_a_mean_for_one_material() -> None:
    """Judged, and its readings asked for, only of that material."""
    rule = METAL_WALL.replace(
        "measure: wall, at_most: 50 degC", "measure: mean_after_smoke, at_most: 5 s"
    )
    assert candle(files=_house(rule)).verdict == "pass"
    tin = {**_house(rule), "vessels/tumbler.md": VESSEL.replace("glass", "metal")}
    assert codes(candle(files=tin).failures) == ["mean_after_smoke_over"]
