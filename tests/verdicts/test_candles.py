"""One test candle, from first light to its end."""

from datetime import date

import pytest

from tests.records_in_text import BASE, WAX, burn, whole_life
from tests.verdicts.told import candle, codes, judged, told

MEAN = "EN 15493:2019, from a test laboratory's bulletin: the average over all readings of a candle"


def _end(**keys: str) -> str:
    given = {"how": "went_out", "left": "4.0 g", "vessel": "sound", "tilt": "steady"}
    given |= {"cycles": "all", **keys}
    return "{" + ", ".join(f"{key}: {value}" for key, value in given.items() if value) + "}"


@pytest.mark.parametrize("state", ["cracked", "leaking", "broken"])
def test_a_vessel_that_did_not_stay_sound(state: str) -> None:
    """The vessel at the end decides: anything but sound fails."""
    verdict = candle(end=_end(vessel=state))
    assert verdict.verdict == "fail"
    assert told(verdict.failures) == [("vessel_unsound", 19, {"word": state})]


def test_a_vessel_that_fell() -> None:
    """It must stand on the slope."""
    verdict = candle(end=_end(tilt="fell"))
    assert verdict.verdict == "fail"
    assert told(verdict.failures) == [("fell", 19, {})]


@pytest.mark.parametrize(
    ("key", "code"), [("vessel", "end_vessel_missing"), ("tilt", "end_tilt_missing")]
)
def test_an_end_that_does_not_say(key: str, code: str) -> None:
    """What the end leaves out keeps the candle from passing."""
    verdict = candle(end=_end(**{key: ""}))
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [(code, 19, {})]


# What is due in the last cycle of a candle that was stopped, when it is a whole one.
_WHOLE = "4 h, pool: 70 mm, wall: 52 degC, after_smoke: 8 s"


def test_a_candle_that_was_stopped() -> None:
    """Stopped is not burned to the end, whatever else was fine."""
    life = [*whole_life()[:3], whole_life()[3].replace("3 h 10 min", _WHOLE)]
    verdict = candle(cycles=life, end=_end(how="stopped"))
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [("stopped", 19, {"why": None})]


def test_stopping_a_candle_takes_no_failure_away() -> None:
    """A pool that stopped short of the wall in a whole third cycle fails, end or no end."""
    short = whole_life()[2].replace("pool: 70 mm", "pool: 60 mm")
    life = [*whole_life()[:2], short]
    for end in ("", _end(how="stopped")):
        assert codes(candle(cycles=life, end=end).failures) == ["coverage_under"], end
    unread = [*life[:2], short.replace("pool: 60 mm, ", "")]
    gaps = codes(candle(cycles=unread, end=_end(how="stopped")).gaps)
    assert gaps.count("reading_missing") == 1
    early = [*life[:2], short.replace("burned: 4 h", "burned: 3 h 44 min")]
    assert candle(cycles=early, end=_end(how="stopped")).failures == ()


def test_a_candle_without_an_end() -> None:
    """No end and no failing cycle: it burns."""
    verdict = candle(cycles=whole_life()[:3], end="")
    assert verdict.verdict == "burning"
    assert told(verdict.gaps) == [("not_ended", 14, {})]


def test_a_candle_not_yet_lit() -> None:
    """Just poured is burning too: it stands for a test that goes on."""
    verdict = candle(cycles=[], end="")
    assert verdict.verdict == "burning"
    assert codes(verdict.gaps) == ["after_smoke_missing", "not_ended"]
    assert verdict.cycles == ()


def test_a_burning_candle_that_failed_already() -> None:
    """A failing cycle does not wait for the end."""
    life = [whole_life()[0].replace("flame: 22 mm", "flame: 80 mm")]
    assert candle(cycles=life, end="").verdict == "fail"


@pytest.mark.parametrize(("first", "cured"), [("2026-03-15", True), ("2026-03-14", False)])
def test_how_long_it_cured(first: str, *, cured: bool) -> None:
    """The first cycle comes no sooner than the wax cures."""
    life = [whole_life()[0].replace("2026-03-16", first), *whole_life()[1:]]
    verdict = candle(cycles=life)
    assert verdict.verdict == ("pass" if cured else "incomplete")
    expected = [] if cured else [("not_cured", 15, {"cured_days": 13, "cure_days": 14.0})]
    assert told(verdict.gaps) == expected


def test_the_slowest_wax_decides_the_cure() -> None:
    """In a blend, the longest cure counts."""
    slow = {**BASE, "waxes/slow.md": WAX.replace("14 days", "16 days")}
    text = burn().replace("{soy: 100.0 g}", "{soy: 60.0 g, slow: 40.0 g}")
    verdict = judged({**slow, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert told(verdict.gaps) == [("not_cured", 15, {"cured_days": 15, "cure_days": 16.0})]


def _smoke(*times: str) -> list[str]:
    life = whole_life()
    for index, time in enumerate(times):
        life[index] = life[index].replace("after_smoke: 8 s", f"after_smoke: {time}")
    return life


def test_the_mean_after_smoke() -> None:
    """It is the mean over all readings that is held against the limit, at the end."""
    assert candle(cycles=_smoke("50 s", "20 s", "20 s")).verdict == "pass"
    verdict = candle(cycles=_smoke("50 s", "30 s", "20 s"))
    assert told(verdict.failures) == [
        (
            "mean_after_smoke_over",
            14,
            {
                "reading_s": pytest.approx(100 / 3),
                "limit_s": pytest.approx(30.0),
                "source": MEAN,
            },
        )
    ]
    burning = candle(cycles=_smoke("50 s", "30 s", "20 s")[:3], end="")
    assert burning.verdict == "burning"


def test_an_after_smoke_that_nobody_read() -> None:
    """A limit whose reading is missing is never a pass: each cycle, and the mean of them."""
    life = [one.replace(", after_smoke: 8 s", "") for one in whole_life()]
    verdict = candle(cycles=life)
    assert verdict.verdict == "incomplete"
    assert told(verdict.gaps) == [
        *(("reading_missing", 14 + n, {"cycle": n, "reading": "after_smoke"}) for n in (1, 2, 3)),
        ("after_smoke_missing", 14, {}),
    ]


def test_a_mean_that_is_watched() -> None:
    """A limit of the studio's own is judged at the end, and told on the last cycle."""
    house = (
        "---\nlimits:\n  - {measure: mean_after_smoke, at_most: 5 s, on_breach: watch, "
        "published: no, source: ours}\n---\n"
    )
    files = {
        **BASE,
        "studio.md": BASE["studio.md"].replace("default", "house"),
        "protocols/house.md": house,
    }
    verdict = candle(files=files)
    assert verdict.verdict == "pass"
    details = {"reading_s": pytest.approx(8.0), "limit_s": pytest.approx(5.0), "source": "ours"}
    assert [codes(one.watches) for one in verdict.cycles] == [[], [], [], ["mean_after_smoke_over"]]
    assert told(verdict.cycles[-1].watches) == [("mean_after_smoke_over", 14, details)]
    burning = candle(files=files, cycles=whole_life()[:3], end="")
    assert all(one.watches == () for one in burning.cycles)


VOID = "void: {why: the wick came loose, by: the maker, on: 2026-04-01}\n"


def test_a_void_candle() -> None:
    """Set aside in the open, from its day on: one that passed, lacks something, or burns."""
    assert candle(more=VOID).verdict == "void"
    assert candle(date(2026, 3, 31), more=VOID).verdict == "pass"
    assert candle(date(2026, 4, 1), more=VOID).verdict == "void"
    assert candle(cycles=whole_life()[:3], end="", more=VOID).verdict == "void"
    assert candle(end=_end(tilt=""), more=VOID).verdict == "void"


@pytest.mark.parametrize(
    ("life", "end", "made"),
    [
        ([whole_life()[0].replace("flame: 22 mm", "flame: 80 mm")], "", ""),
        ([one.replace("after_smoke: 8 s", "after_smoke: 31 s") for one in whole_life()], None, ""),
        (whole_life(), _end(vessel="cracked"), ""),
        (whole_life(), _end(tilt="fell"), ""),
        ([], "", "fell"),
    ],
)
def test_a_failure_that_was_read_is_never_set_aside(
    life: list[str], end: str | None, made: str
) -> None:
    """A cycle, the mean, the vessel, the slope before first light and after: all stand."""
    text = burn(cycles=life, more=VOID, **({} if end is None else {"end": end}))
    if made:
        text = text.replace("  tilt: steady\n", f"  tilt: {made}\n")
    verdict = judged({**BASE, "burns/fig-a.md": text}).burns["fig-a"].candle
    assert verdict.seen.is_void
    assert verdict.verdict == "fail"
    assert verdict.failures != ()


def test_a_candle_poured_later_is_not_seen() -> None:
    """As of a day before its pouring, it does not exist."""
    files = {**BASE, "burns/fig-a.md": burn()}
    assert "fig-a" not in judged(files, date(2026, 2, 28)).burns
    assert "fig-a" in judged(files, date(2026, 3, 1)).burns


def test_an_id_is_the_file_name() -> None:
    """A candle is named by its record."""
    assert candle().id == "fig-a"
