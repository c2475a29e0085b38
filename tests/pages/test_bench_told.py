"""Diagnosis, the next wick and the rate in words, and what of the records goes into them."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from string import Formatter
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from handbook_builder.cli import main
from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.diagnoses import findings_of, full_share, marks_of
from handbook_builder.derived.wicks import advice_for, burns_alike
from handbook_builder.figures.diagnosis import CODES, Finding, Shared, diagnose
from handbook_builder.figures.next_wick import Way
from handbook_builder.pages.desk import Desk
from handbook_builder.pages.page import Page
from handbook_builder.pages.products.wick_advice import advice_on
from handbook_builder.pages.tests.diagnosis import finding_shown, told_who
from handbook_builder.reports.figures import report
from handbook_builder.reports.plain import as_json
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.screening import Screening
from handbook_builder.words import Words
from tests.figures.burn_series import MARKS, Behaviour, burned
from tests.pages.conftest import DAY, ROOT, catalogue, shown, told, without_data
from tests.records_in_text import BASE, FULL_CYCLE, WICK, burn, linked, proven

PHRASES: dict[str, Any] = yaml.safe_load(catalogue())["pages"]
NO_BREAK = "\N{NO-BREAK SPACE}"
COLD = (
    "{on: 2026-03-%02d, burned: 4 h, before: %.1f g, after: %.1f g, pool: %d mm, "
    "depth: 8 mm, flame: 22 mm, wall: 52 degC, after_smoke: 8 s}"
)


@pytest.fixture
def desk(account: Account, words: Words) -> Desk:
    """Return the desk of the demo studio."""
    return Desk(account, words)


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return text.replace(NO_BREAK, " ")


def cold_candle(letter: str, pool_mm: int, **more: Any) -> str:  # noqa: ANN401 -- as `burn` takes
    """Return a candle whose pool stops short of the wall (72 mm) in four cycles, and goes out."""
    cycles = [COLD % (16 + n, 400.0 - 22 * n, 378.0 - 22 * n, pool_mm) for n in range(4)]
    last = "{on: 2026-03-20, burned: 2 h, before: 312.0 g, after: 304.0 g, flame: 15 mm}"
    return burn(letter, cycles=[*cycles, last], **more)


def small_account(**files: str) -> Account:
    """Return a small studio with these files more, reckoned up."""
    more = {name.replace("__", "/").replace("_", "-") + ".md": text for name, text in files.items()}
    return account_of(linked({**BASE, **more}), DAY)


def wick(size: int) -> str:
    """Return a wick of the series."""
    return WICK.replace('"8"', f'"{size}"').replace("step: 3", f"step: {size // 2 - 1}")


def test_every_finding_has_its_words() -> None:
    """Each code has a title, a sentence, a usual cause and a usual remedy, each a sentence."""
    findings = PHRASES["diagnosis"]["findings"]
    assert set(findings) == set(CODES)
    for one in findings.values():
        assert {"title", "tell", "cause", "remedy"} <= set(one)
        assert all(one[key].endswith(".") for key in one if key != "title")
    assert "common practice, no published source" in PHRASES["diagnosis"]["practice"]


def test_every_way_has_its_words() -> None:
    """Each way to a suggestion has its sentence, and only those that name a size ask for it."""
    ways = PHRASES["next_wick"]["ways"]
    assert set(ways) == set(Way)
    named = {
        way for way, text in ways.items() if "wick" in {n for _, n, _, _ in Formatter().parse(text)}
    }
    assert named == {Way.FITS, Way.LARGER, Way.SMALLER, Way.BETWEEN}


def test_a_finding_names_the_readings_that_led_to_it(pages: dict[str, Page]) -> None:
    """One wick in the concrete bowl tunnelled: the word stands with its cycle."""
    (tunnel,) = pages["tests/pine-bowl-a"].content.diagnosis.findings
    assert tunnel.title == "It tunnels"
    assert tunnel.led_by == "Tunnelling in cycle 3."


def ailing() -> list[Finding]:
    """Return every finding there is, of made-up series that have it."""
    sound = Behaviour()
    series = (
        replace(sound, pool_share=0.7, left_share=0.3, depth_mm=15.0, rate_change=-0.4),
        replace(sound, wall_h=0.9, wall_c=58.0, flame_mm=46.0, rate_change=0.4),
        replace(sound, flame_change=-0.75),
        replace(sound, seen=(("smoking", 1.0), ("mushrooming", 1.0), ("tunnelling", 1.0))),
        replace(sound, seen=(("drowning", 1.0),)),
    )
    return [one for does in series for one in diagnose(burned(does, 1), MARKS)]


def test_every_finding_can_be_said(desk: Desk) -> None:
    """Whatever can be found has a whole sentence, with its numbers and the readings behind it."""
    found = ailing()
    assert {one.code for one in found} == set(CODES)
    told_so = [finding_shown(desk, one) for one in found]
    assert all(one.tell.endswith(".") and one.led_by.endswith(".") for one in told_so)
    by_code = {one.title: plain(one.tell) for one in told_so}
    assert "Along the life the flame sank from " in "".join(plain(one.tell) for one in told_so)
    assert re.search(r"30 % of the fill was left", "".join(plain(one.tell) for one in told_so))
    rising = by_code["It burns faster along its life"]
    assert re.search(r"From \d\.\d\d g/h .* to \d\.\d\d g/h .* \d+ % to \d+ %", rising)


def test_only_one_candle_was_lit(desk: Desk) -> None:
    """What one candle alone has is not called common."""
    assert told_who(desk, Shared("soot", ("pine-bowl-a",), 1)) == "The one candle lit so far"
    both = Shared("soot", ("pine-bowl-a", "pine-bowl-c"), 3)
    assert told_who(desk, both) == "Candles A, C, of 3"


def test_what_the_candles_of_a_product_share(pages: dict[str, Page]) -> None:
    """All three candles of the bowl were seen to tunnel."""
    shared = pages["products/pine-bowl"].content.diagnosis.shared
    assert ("It tunnels", "All 3 candles") in [(one.title, one.who) for one in shared]


def test_a_sound_candle_says_so(pages: dict[str, Page], html: dict[str, str]) -> None:
    """Where nothing was found the page says by what; before a candle is lit it says nothing."""
    assert pages["tests/black-tea-b"].content.diagnosis.findings == ()
    assert "Nothing ails it, by what was read so far." in html["tests/black-tea-b"]
    assert pages["tests/lemon-verbena-tumbler-c"].content.diagnosis is None
    assert pages["products/driftwood-cedar"].content.diagnosis is None


def test_causes_and_remedies_bear_their_mark(pages: dict[str, Page], html: dict[str, str]) -> None:
    """Whatever page shows a cause says that it is common practice, and that it is no verdict."""
    count = 0
    for path, page in pages.items():
        found = getattr(page.content, "diagnosis", None)
        if found and (found.findings or found.shared):
            count += 1
            assert "Causes and remedies are common practice, no published source." in html[path]
            assert "A finding is no verdict." in html[path]
    assert count > 20


def test_every_sentence_is_whole(altered: Callable[..., Path]) -> None:
    """In each choice of units no sentence of the bench is left with a gap."""
    for units in ("metric", "us"):
        html = shown(told(altered("studio.md", ("units: both", f"units: {units}"))))
        assert not [
            path
            for path, text in html.items()
            if re.search(r"\{\w*\}", without_data(text))
            # whose pages hold codes with their blanks, and labels that a script fills
            and not path.startswith(("reference/problems", "bench/"))
        ]
        altered("studio.md", (f"units: {units}", "units: both"))


def test_the_failing_limit_is_the_mark() -> None:
    """Shipped, the wall fails at 80 °C and is watched at 60; the depth is only watched: no mark."""
    protocol = linked(BASE).protocol
    marks = marks_of(protocol)
    assert (marks.wall_c, marks.depth_mm, marks.flame_mm) == (80.0, None, 75.0)
    assert (marks.full_share, marks.full_pool_by) == (pytest.approx(0.95), 3)
    assert full_share(protocol) == marks.full_share


def test_a_watched_limit_ails_no_approved_product(pages: dict[str, Page]) -> None:
    """What only a limit to watch would speak against is told as watched, and as nothing else.

    Walls of approved candles were read above the 60 °C that are watched, none above the 75 °C at
    which the house protocol fails them.
    """
    for page in pages.values():
        if page.view == "product" and page.content.is_approved and page.content.diagnosis:
            titles = {one.title for one in page.content.diagnosis.shared}
            assert not titles & {"The wall gets too hot", "The pool is too deep"}, page.path
    watched = " ".join(pages["products/cedar-fig"].content.watched)
    assert "the outer wall reached" in watched
    failed = pages["products/cedar-fig-big-wick"].content.diagnosis
    assert "The wall gets too hot" in {one.title for one in failed.shared}


def test_from_the_records_to_the_findings() -> None:
    """A candle that left 20 of 108 g and was never at the wall tunnels, by its own record."""
    end = "{how: went_out, left: 20.0 g, vessel: sound, tilt: steady}"
    found = small_account(burns__fig_a=cold_candle("A", 60, candles=1, end=end))
    codes = [
        one.code
        for one in findings_of(
            found.studio, found.judged.burns["fig-a"].candle, found.burns["fig-a"]
        )
    ]
    assert codes == ["pool_short", "tunnelling"]
    stopped = end.replace("went_out", "stopped, why: tired of it")
    found = small_account(burns__fig_a=cold_candle("A", 60, candles=1, end=stopped))
    assert [
        one.code
        for one in findings_of(
            found.studio, found.judged.burns["fig-a"].candle, found.burns["fig-a"]
        )
    ] == ["pool_short"]


def test_the_next_wick_of_the_bowl(pages: dict[str, Page]) -> None:
    """Three candles of the largest size failed too cold: no larger one is on file."""
    advice = pages["products/pine-bowl"].content.advice
    assert advice.suggestion == (
        "Even the largest size on file failed too cold. Try one wick more, or another series."
    )
    assert advice.cost is None
    assert advice.grounds[1].startswith("Too little data for a line of the rate on the size")
    assert advice.note.startswith("A suggestion from the studio's own burns, never a verdict.")


def test_the_next_wick_after_one_too_large(pages: dict[str, Page]) -> None:
    """Cotton 10 failed hot in the tumbler, where cotton 8 passed; the rate has a line."""
    advice = pages["products/cedar-fig-big-wick"].content.advice
    assert advice.suggestion.startswith("Cotton 8 passed there")
    assert "3 test candles and about " in advice.cost
    assert any("(95 % confidence, 8 candles)" in plain(one) for one in advice.grounds)
    assert any("One more candle of Cotton 8 would burn" in one for one in advice.grounds)


def test_no_suggestion_where_nothing_is_asked(account: Account, pages: dict[str, Page]) -> None:
    """Approved and retired products have none, nor has a refused vessel; every other one has."""
    for ident, product in account.judged.products.items():
        is_refused = product.screened.screening is Screening.REFUSED
        asked = product.status not in (Status.APPROVED, Status.RETIRED) and not is_refused
        assert (pages[f"products/{ident}"].content.advice is not None) == asked


def test_a_suggestion_is_never_a_verdict(html: dict[str, str], pages: dict[str, Page]) -> None:
    """No suggestion wears a tone, and each says that it is none."""
    for path, page in pages.items():
        if getattr(page.content, "advice", None):
            assert "never a verdict. Only test candles tell." in html[path]


def test_one_step_up_without_a_line() -> None:
    """One candle too cold is too little for a line: one step up, as three candles, is suggested."""
    found = small_account(
        burns__fig_a=cold_candle("A", 60, candles=1),
        wicks__cotton_10=wick(10),
        wicks__cotton_12=wick(12),
    )
    advice = advice_for(found, found.judged.products["fig"])
    assert (advice.way, advice.step, advice.candles) == (Way.LARGER, 4, 3)
    assert advice.relations.pool is None
    # 108 g of fill at 96 g in 18 h.
    assert advice.hours_h == pytest.approx(3 * 108 / (96 / 18))


def test_the_line_of_the_pools_is_drawn_from_the_records() -> None:
    """60 mm with cotton 6 and 64 with 8 of 72 mm make 68 with 10: full (68.4) comes with 12."""
    found = small_account(
        burns__fig_a=cold_candle("A", 60, candles=1, wick="cotton-6"),
        burns__fig_b=cold_candle("B", 60, candles=2, wick="cotton-6").replace("03-01", "03-02"),
        burns__fig_c=cold_candle("C", 64, candles=2).replace("03-01", "03-02"),
        wicks__cotton_6=wick(6), wicks__cotton_10=wick(10), wicks__cotton_12=wick(12),
    )  # fmt: skip
    advice = advice_for(found, found.judged.products["fig"])
    assert (advice.way, advice.step, advice.tried) == (Way.LARGER, 5, (2, 3))
    assert advice.relations.pool is not None
    assert advice.relations.pool.slope == pytest.approx(4 / 72)


def test_the_line_of_the_pools_in_words(words: Words) -> None:
    """The relation, its doubt, the one more candle and the cost are told in whole sentences."""
    found = small_account(
        burns__fig_a=cold_candle("A", 60, candles=1, wick="cotton-6"),
        burns__fig_b=cold_candle("B", 61, candles=2, wick="cotton-6").replace("03-01", "03-02"),
        burns__fig_c=cold_candle("C", 64, candles=2).replace("03-01", "03-02"),
        wicks__cotton_6=wick(6), wicks__cotton_10=wick(10), wicks__cotton_12=wick(12),
    )  # fmt: skip
    advice = advice_on(Desk(found, words), found.judged.products["fig"])
    assert advice is not None
    said = [plain(one) for one in advice.grounds]
    assert advice.suggestion == (
        "What was burned failed too cold. Cotton 12 is worth pouring next."
    )
    assert any(
        re.match(r"From one size to the next the pool grows by -?\d+ % to ", one) for one in said
    )
    assert any(one.startswith("One more candle of Cotton 12 would have a pool of ") for one in said)


def test_the_cost_in_words(words: Words) -> None:
    """Without a rate the hours are open; with enough passed nothing more is to be poured."""
    unweighed = (
        "{on: 2026-03-16, burned: 4 h, pool: 60 mm, depth: 8 mm, flame: 22 mm, wall: 52 degC, "
        "seen: [tunnelling]}"
    )
    found = small_account(
        burns__fig_a=burn("A", candles=1, cycles=[unweighed], end=""), wicks__cotton_10=wick(10)
    )
    advice = advice_on(Desk(found, words), found.judged.products["fig"])
    assert advice is not None
    assert advice.cost is not None
    assert "3 test candles. How many hours is open" in advice.cost
    held = proven() | {"fragrances/fig-oil.md": BASE["fragrances/fig-oil.md"].replace("9 %", "1 %")}
    found = account_of(linked(held), DAY)
    advice = advice_on(Desk(found, words), found.judged.products["fig"])
    assert advice is not None
    assert advice.cost == "It takes no further test candle."


def test_what_is_alike() -> None:
    """Another series, count or load says nothing, nor does what is void or unlit; an oil does."""
    files = proven()
    more = {
        "wicks/zinc-1.md": WICK.replace("series: cotton", "series: zinc"),
        "fragrances/other.md": BASE["fragrances/fig-oil.md"],
        "burns/fig-d.md": burn("D", candles=1, wick="zinc-1", made="").replace("03-01", "03-02"),
        "burns/fig-e.md": burn("E", candles=1, oil="9.1 g").replace("03-01", "03-03"),
        "burns/fig-f.md": burn("F", candles=1, oil="8.9 g").replace("03-01", "03-04"),
        "burns/fig-g.md": burn("G", candles=1)
        .replace("fig-oil: 8", "other: 8").replace("03-01", "03-05"),
        "burns/fig-h.md": burn("H", candles=1, made="  wicks: 2\n").replace("03-01", "03-06"),
        "burns/fig-i.md": burn("I", candles=1, cycles=[], end="").replace("03-01", "03-07"),
        "burns/fig-j.md": burn("J", candles=1, more="void: {why: it fell, by: y, on: 2026-04-01}\n")
        .replace("03-01", "03-08"),
    }  # fmt: skip
    found = account_of(linked({**files, **more}), DAY)
    alike = {one.candle.id for one in burns_alike(found, found.judged.products["fig"])}
    assert alike == {"fig-a", "fig-b", "fig-c", "fig-f", "fig-g"}


def test_a_hot_candle_points_down() -> None:
    """A candle that sooted failed too hot; the size below is suggested."""
    hot = FULL_CYCLE.replace("after_smoke: 8 s", "after_smoke: 8 s, seen: [sooting]")
    found = small_account(
        burns__fig_a=burn("A", candles=1, cycles=[hot % (16, 400, 378)], end=""),
        wicks__cotton_6=wick(6),
    )
    advice = advice_for(found, found.judged.products["fig"])
    assert (advice.way, advice.step) == (Way.SMALLER, 2)


def test_a_pool_that_has_not_had_its_cycles_is_not_on_the_line() -> None:
    """After one cycle a narrow pool says nothing yet."""
    cycles = [COLD % (16, 400, 378, 60)]
    found = small_account(burns__fig_a=burn("A", candles=1, cycles=cycles, end=""))
    advice = advice_for(found, found.judged.products["fig"])
    assert (advice.way, advice.relations.pool, advice.trials) == (Way.OPEN, None, 1)


def test_why_suggests(tmp_path: Path) -> None:
    """`why` prints the suggestion, and has it in its JSON; approved products get none."""
    del tmp_path
    words = ["why", "pine-bowl", "--studio", str(ROOT)]
    printed = CliRunner().invoke(main, words, catch_exceptions=False)
    assert "What to try next: Even the largest size on file failed too cold." in printed.output
    plain_one = json.loads(CliRunner().invoke(main, [*words, "--json"]).output)["pine-bowl"]
    assert plain_one["next_wick"]["way"] == "no_larger"
    approved = CliRunner().invoke(main, ["why", "cedar-fig", "--studio", str(ROOT)])
    assert "What to try next" not in approved.output


def test_the_figures_have_findings_and_advice(account: Account) -> None:
    """Other programs read the codes, and the wicks by their ids."""
    told_all = json.loads(as_json(report(account, lambda reason: reason.code)))
    assert told_all["burns"]["pine-bowl-a"]["findings"] == ["tunnelling"]
    advice = told_all["products"]["cedar-fig-big-wick"]["next_wick"]
    assert (advice["way"], advice["wicks"], advice["candles"]) == ("fits", ["cotton-8"], 3)
    assert advice["rate_g_per_h"]["low"] < advice["rate_g_per_h"]["high"]
    assert advice["coverage"] is None
    json.dumps(told_all)


def test_the_doubt_of_a_rate(pages: dict[str, Page]) -> None:
    """Candles of 5.62, 5.41 and 5.34 g/h scatter by 0.15; one more lies within ± t · s · √(4/3).

    t(0.975, 2) = 4.302653 (table): 5.46 ± 4.302653 · 0.1470 · 1.1547 = 4.73 to 6.19.
    """
    burning = pages["products/cedar-fig"].content.burning
    assert plain(burning.interval) == (
        "One more candle would burn between 4.73 and 6.19 g/h (95 % prediction)."
    )
    assert "scatter by 0.15 g/h" in burning.scatter
    assert "± 0.009 g/h" in burning.scatter
    assert pages["products/pine-bowl"].content.burning is None


def test_one_candle_has_no_interval(altered: Callable[..., Path]) -> None:
    """One candle says nothing of the scatter; only what its readings leave open is told."""
    void = "scale: 0.1 g\nvoid: {why: the scale was off, by: wren, on: 2026-04-01}\n"
    records = altered("burns/smoked-vanilla-tin-a.md", ("scale: 0.1 g\n", void))
    burning = told(records)["products/smoked-vanilla-tin"].content.burning
    assert burning.interval.startswith("Too few candles")
    assert "How candles differ is not known from one." in burning.scatter
    assert plain(burning.rules[1].read).endswith("of one candle")


def test_rules_of_thumb_stand_beside_what_was_read(pages: dict[str, Page]) -> None:
    """72 mm are 2.83 in: 2 h 50 min by the rule; the pools were there after 2 h 57 min."""
    wall, depth = pages["products/cedar-fig"].content.burning.rules
    assert plain(wall.says) == "2 h 50 min, one hour for each inch of width"
    assert plain(wall.read).startswith("2 h 57 min (")
    assert plain(depth.read).startswith("8.7 mm")
    assert (
        "common practice, no published source" in pages["products/cedar-fig"].content.burning.source
    )


def test_vessels_against_wicks(account: Account, pages: dict[str, Page]) -> None:
    """Each pair that was tried says in words what became of its candles, failures first."""
    grid = pages["vessels/index"].content.grid
    cells = {
        (row.vessel.path, wick): cell
        for row in grid.rows
        for wick, cell in zip(grid.wicks, row.cells, strict=True)
    }
    assert cells["vessels/amber-tumbler", "Cotton 10"] == "1 failed, 2 incomplete"
    assert cells["vessels/concrete-bowl", "Cotton 6, 2 wicks"] == "3 passed"
    assert cells["vessels/concrete-bowl", "Cotton 6"] is None
    counted = sum(int(n) for cell in cells.values() if cell for n in re.findall(r"\d+", cell))
    assert counted == len(account.judged.burns)
    assert "A pass there proves nothing for another make-up" in grid.note


def test_no_grid_before_anything_burned() -> None:
    """A studio without test candles has no grid, no findings and no suggestion from its burns."""
    found = small_account()
    advice = advice_for(found, found.judged.products["fig"])
    assert (advice.way, advice.step) == (Way.UNTRIED, None)
