"""The page that takes readings: three candles through a whole cycle, and nothing is ever lost."""

import contextlib
import os
import re
import signal
import time
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
from conftest import ARGUMENTS, CHROMIUM, serving, visiting
from visits import Visit

from handbook_builder.derived.handover import state_of
from handbook_builder.reading.front import split
from handbook_builder.reading.handover import read_handover
from handbook_builder.reading.nodes import Map, Node, Scalar, Sequence
from handbook_builder.reading.records import read_folder

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Download, Locator, Page, Playwright

pytestmark = pytest.mark.browser

ROOT: Final = Path(__file__).resolve().parents[2]
CANDLES: Final = tuple(f"lemon-verbena-tumbler-{letter}" for letter in "abc")
ONE: Final = f"bench/{CANDLES[0]}.html"
READ: Final = {
    "trimmed": "0.2", "before": "270.5 g", "burned": "3 h 52 min", "flame": "24", "pool": "70",
    "depth": "9", "wall": "52.5", "room": "21", "after_smoke": "4", "after": "254.1",
    "note": 'It went "out" at once: no smell, \\ nothing.',
}  # fmt: skip
# As the record writes them: each with its unit, in the order of its keys.
WRITTEN: Final = {
    "on": "2026-11-28 09:30", "trimmed": "0.2 g", "burned": "3 h 52 min", "before": "270.5 g",
    "after": "254.1 g", "pool": "70 mm", "depth": "9 mm", "flame": "24 mm", "wall": "52.5 degC",
    "after_smoke": "4 s", "room": "21 degC", "seen": ["mushrooming", "frosting"],
    "checks": {"1 h": "41 mm", "3 h": "60 mm"},
    "note": 'It went "out" at once: no smell, \\ nothing.',
}  # fmt: skip
MORNING: Final = datetime(2026, 11, 28, 9, 30)  # noqa: DTZ001 -- the local time of the device


@pytest.fixture(scope="module")
def site(demo: Path) -> Path:
    """Return the site of the demo."""
    return demo


def plain(node: Node) -> Any:  # noqa: ANN401 -- texts, lists and maps in each other
    """Return a node of the package's reader as texts, lists and maps."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    assert isinstance(node, Map)
    return {key.text: plain(value) for key, value in node.entries}


def parsed(text: str) -> dict[str, Any]:
    """Return what a hand-over file says, as the package's own reader of records has it."""
    taken, faults = read_handover(text.encode(), "handed.txt")
    assert taken is not None, faults
    front, problems = split(text.encode(), "handed.txt")
    assert front is not None, problems
    assert problems == []
    found: dict[str, Any] = plain(front.root)
    return found


def ready(visit: Visit, path: str = ONE) -> "Page":
    """Open a bench page and wait until what is kept is in its fields."""
    visit.open(path)
    visit.page.wait_for_selector("body[data-bench-ready]")
    return visit.page


def again(page: "Page") -> None:
    """Load the page once more."""
    page.reload()
    page.wait_for_selector("body[data-bench-ready]")


def kept(sheet: "Page | Locator") -> None:
    """Wait until the page says that what was typed is on the disk."""
    line = sheet.locator("[data-kept]")
    line.filter(has_text=re.compile(r"^Kept at \d\d:\d\d:\d\d\.$")).wait_for()


def type_in(
    sheet: "Page | Locator", values: Mapping[str, str] = READ, day: str = "2026-11-28"
) -> None:
    """Type a whole cycle, with what was seen and the pool on its way."""
    sheet.locator("[data-key=day]").fill(day)
    sheet.locator("[data-key=time]").fill("09:30")
    for key, text in values.items():
        sheet.locator(f"[data-key={key}]").fill(text)
    for hour, width in (("1", "41"), ("3", "60 mm")):
        sheet.locator(f'[data-key="check {hour}"]').fill(width)
    for word in ("mushrooming", "frosting"):
        sheet.locator(f"[data-seen][value={word}]").check()
    kept(sheet)


def saved(page: "Page", sheet: "Page | Locator | None" = None) -> tuple[str, str]:
    """Save the file of a candle; return its name and its text."""
    with page.expect_download() as found:
        (sheet or page).locator("[data-hand=save]").click()
    return found.value.suggested_filename, Path(found.value.path()).read_text("utf-8")


def values_in(page: "Page") -> dict[str, str]:
    """Return what stands in the fields."""
    told = page.locator("[data-key]").evaluate_all(
        "all => all.map(one => [one.dataset.key, one.value])"
    )
    return {key: value for key, value in told if value}


TYPED: Final = {**READ, "day": "2026-11-28", "time": "09:30", "check 1": "41", "check 3": "60 mm"}


@pytest.mark.parametrize("width", [390, 820])
def test_three_candles_through_a_cycle(visit: Visit, width: int) -> None:
    """What was typed is what the package's reader finds in the files, for each of three candles."""
    visit.page.set_viewport_size({"width": width, "height": 900})
    page = ready(visit, "bench/index.html")
    records = read_folder(ROOT / "records", "records").records["burns"]
    for ident in CANDLES:
        page.get_by_role("checkbox", name=records[ident].candle, exact=False)
        page.locator(f"[data-bench-choose] input[value={ident}]").check()
    page.locator("article.bench[data-ready]").nth(2).wait_for(state="attached")
    for at, ident in enumerate(CANDLES):
        sheet = page.locator("article.bench").nth(at)
        if width < 700:
            page.locator("[data-bench-tabs] button").nth(at).click()
        assert sheet.is_visible()
        type_in(sheet, {**READ, "flame": f"{20 + at}"})
        name, text = saved(page, sheet)
        told = parsed(text)
        assert re.fullmatch(rf"{ident}-\d{{4}}-\d\d-\d\d-{told['session'][:6]}\.txt", name)
        assert told["record"] == state_of(records[ident])
        assert [told[key] for key in ("handover", "kind", "edition", "burn", "candle")] == [
            "1", "cycles", "owner", ident, records[ident].candle,
        ]  # fmt: skip
        assert told["cycles"] == [{**WRITTEN, "flame": f"{20 + at} mm"}]
        assert list(told["cycles"][0]) == list(WRITTEN)
        assert "end" not in told
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert visit.complaints == []
    assert visit.strangers() == []


def test_one_column_each_side_by_side(visit: Visit) -> None:
    """On a tablet the candles stand beside one another; on a telephone one is in front."""
    for width, shown in ((820, 3), (390, 1)):
        visit.page.set_viewport_size({"width": width, "height": 900})
        page = ready(visit, "bench/index.html")
        for ident in CANDLES:
            page.locator(f"[data-bench-choose] input[value={ident}]").check()
        page.locator("article.bench[data-ready]").nth(2).wait_for(state="attached")
        page.wait_for_timeout(1200)  # the tabs follow with the clock
        boxes = [one.bounding_box() for one in page.locator("article.bench").all()]
        there = [box for box in boxes if box is not None]
        assert len(there) == shown
        assert len({round(box["y"]) for box in there}) == 1
        assert all(box["x"] + box["width"] <= width for box in there)
        inside = page.locator("article.bench input:visible").evaluate_all(
            "all => all.every(one => one.getBoundingClientRect().right"
            " <= one.closest('article').getBoundingClientRect().right - 8)"
        )
        assert inside


def test_nothing_is_lost_by_leaving(visit: Visit) -> None:
    """A reload, another page and back, and the page of several, all have what was typed."""
    page = ready(visit)
    type_in(page)
    again(page)
    assert values_in(page) == TYPED
    visit.open("waxes/soy-blend.html")
    page.go_back()
    page.wait_for_selector("body[data-bench-ready]")
    assert values_in(page) == TYPED
    ready(visit, "bench/index.html")
    sheet = page.locator("article.bench").first
    assert sheet.locator("[data-key=before]").input_value() == "270.5 g"
    sheet.locator("[data-key=before]").fill("270.6 g")
    kept(sheet)
    assert ready(visit).locator("[data-key=before]").input_value() == "270.6 g"
    assert page.locator("[data-seen]:checked").count() == 2


def test_two_tabs_of_one_candle_lose_nothing(browser: "Browser", site: Path) -> None:
    """What either tab took stands in both, also where one of them slept and heard nothing."""
    context = browser.new_context()
    one, other = (ready(Visit(context.new_page(), site.as_uri())) for _ in range(2))
    one.locator("[data-key=before]").fill("270.5")
    kept(one)
    other.locator("[data-key=flame]").fill("22")
    other.locator("[data-seen][value=frosting]").check()
    kept(other)
    one.locator("[data-key=before]").focus()
    one.locator("[data-key=wall]").fill("47")
    one.locator("[data-seen][value=mushrooming]").check()
    kept(one)
    asleep = "BroadcastChannel.prototype.postMessage = () => null"
    for page in (one, other):
        page.evaluate(asleep)
    other.locator("[data-key=pool]").fill("70")
    kept(other)
    one.locator("[data-key=depth]").fill("9")
    kept(one)
    for page in (one, ready(Visit(context.new_page(), site.as_uri()))):
        found = values_in(page)
        assert {key: found.get(key) for key in ("before", "flame", "wall", "pool", "depth")} == {
            "before": "270.5", "flame": "22", "wall": "47", "pool": "70", "depth": "9",
        }  # fmt: skip
        assert page.locator("[data-seen]:checked").count() == 2
    context.close()


def test_put_out_by_mistake_is_taken_back(browser: "Browser", site: Path) -> None:
    """With the hours emptied, the clock runs on from first light."""
    with visiting(browser, site.as_uri()) as visit:
        page = visit.page
        page.clock.install(time=MORNING)
        ready(visit)
        page.locator("[data-lit]").click()
        page.clock.run_for("00:30:00")
        page.locator("[data-out]").click()
        assert page.locator("[data-key=burned]").input_value() == "30 min"
        page.locator("[data-key=burned]").fill("")
        assert page.locator("[data-elapsed]").text_content() == "0:30:00"
        assert page.locator("[data-out]").is_visible()


def test_a_comma_key_types_a_point(visit: Visit) -> None:
    """Where the keys for numbers have no point; what is pasted is told to be no number."""
    page = ready(visit)
    page.locator("[data-key=before]").press_sequentially("270,5")
    assert page.locator("[data-key=before]").input_value() == "270.5"
    page.locator("[data-key=after]").press_sequentially("1.254,5")
    assert page.locator("[data-key=after]").input_value() == "1.254,5"
    page.locator("[data-key=note]").press_sequentially("warm, still")
    assert page.locator("[data-key=note]").input_value() == "warm, still"
    kept(page)
    assert page.locator('[data-field="before"] .bench-fault').count() == 0
    assert "comma" in (page.locator('[data-field="after"] .bench-fault').text_content() or "")


def test_a_limit_of_later_cycles_is_no_limit_yet(browser: "Browser", site: Path) -> None:
    """A narrow pool in a first cycle is not told to be beyond what is due from the third on."""
    with visiting(browser, site.as_uri()) as visit:
        for candle, begins in (("c", False), ("a", True)):
            page = ready(visit, f"bench/lemon-verbena-tumbler-{candle}.html")
            page.locator("[data-key=pool]").fill("60")
            told = page.locator('[data-field="pool"] [data-stands]').text_content() or ""
            assert ("beyond" in told) is begins


def test_a_dropped_tab_loses_nothing(browser: "Browser", site: Path) -> None:
    """A tab that is closed at once, and a new one in its place."""
    context = browser.new_context()
    page = ready(Visit(context.new_page(), site.as_uri()))
    type_in(page)
    page.close()
    assert values_in(ready(Visit(context.new_page(), site.as_uri()))) == TYPED
    context.close()


@contextlib.contextmanager
def at_home(player: "Playwright", home: Path) -> "Iterator[BrowserContext]":
    """Start a browser whose disk is `home`."""
    context = player.chromium.launch_persistent_context(
        str(home), executable_path=CHROMIUM, args=ARGUMENTS
    )
    yield context
    with contextlib.suppress(Exception):
        context.close()


def main_process(home: Path) -> int:
    """Return the process of the browser that holds `home`: it and no other has begun the rest."""
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            words = (folder / "cmdline").read_bytes().decode("utf-8", "replace")
            if f"--user-data-dir={home}" in words and "--type=" not in words:
                return int(folder.name)
    pytest.fail("no browser was started")


@pytest.mark.parametrize("by", ["server", "folder"])
def test_a_killed_browser_loses_nothing(
    player: "Playwright", site: Path, server: str, tmp_path: Path, by: str
) -> None:
    """The page says that it is kept, the process is killed, and another one has it all."""
    root, home = server if by == "server" else site.as_uri(), tmp_path / "home"
    with at_home(player, home) as context:
        type_in(ready(Visit(context.new_page(), root)))
        os.kill(main_process(home), signal.SIGKILL)
        time.sleep(1)
    for lock in home.glob("Singleton*"):
        lock.unlink()
    with at_home(player, home) as context:
        assert values_in(ready(Visit(context.new_page(), root))) == TYPED


def test_the_clock_runs_over_midnight(browser: "Browser", site: Path) -> None:
    """Lit in the evening, put out after midnight: the day is that of the light, the hours count."""
    with visiting(browser, site.as_uri()) as visit:
        page = visit.page
        page.clock.install(time=datetime(2026, 11, 28, 22, 30))  # noqa: DTZ001 -- the device's own
        ready(visit)
        page.locator("[data-lit]").click()
        page.clock.run_for("01:00:05")
        assert page.locator("[data-clock-due]").text_content() == "due now: measure the pool"
        page.locator('[data-key="check 1"]').fill("40")
        assert page.locator("[data-clock-due]").text_content() == ""
        page.clock.run_for("01:00:00")
        again(page)
        page.clock.run_for("02:00:00")
        assert re.fullmatch(r"4:00:\d\d", page.locator("[data-elapsed]").text_content() or "")
        assert "put it out" in (page.locator("[data-clock-due]").text_content() or "")
        page.clock.run_for("00:02:00")
        page.locator("[data-out]").click()
        assert page.locator("[data-key=burned]").input_value() == "4 h 2 min"
        assert "2026-11-29 04:02" in (page.locator("[data-rest]").text_content() or "")
        kept(page)
        told = parsed(saved(page)[1])
        assert told["cycles"] == [
            {"on": "2026-11-28 22:30", "burned": "4 h 2 min", "checks": {"1 h": "40 mm"}}
        ]
        assert told["written"] == "2026-11-29 02:32"


def test_a_mark_rings_once(browser: "Browser", site: Path) -> None:
    """Each hour rings and shakes once, a reload later not again."""
    with visiting(browser, site.as_uri()) as visit:
        page = visit.page
        page.add_init_script(
            "window.shaken = []; navigator.vibrate = (it) => { window.shaken.push(it.length); };"
        )
        page.clock.install(time=MORNING)
        ready(visit)
        page.locator("[data-lit]").click()
        page.clock.run_for("01:00:03")
        assert page.evaluate("window.shaken") == [5]
        again(page)
        page.clock.run_for("00:00:05")
        assert page.evaluate("window.shaken") == []
        page.locator("[data-key=note]").fill("touched")  # a page may shake once it was touched
        page.locator("[data-key=note]").click()
        page.clock.run_for("03:00:00")
        assert page.evaluate("window.shaken") == [5, 5, 11]


def test_a_candle_to_its_end_without_a_build(visit: Visit) -> None:
    """Two cycles and the end, one file: each earlier text is a beginning of the later one."""
    page = ready(visit)
    type_in(page)
    first = parsed(saved(page)[1])
    page.locator("[data-next]").click()
    assert values_in(page) == {}
    assert page.locator("[data-take]:visible").text_content() == "Take 254.1 g"
    page.locator("[data-key=trimmed]").fill("0.3")
    page.locator("[data-take]:visible").click()
    assert page.locator("[data-key=before]").input_value() == "253.8 g"
    page.locator("[data-key=day]").fill("2026-11-29")
    page.locator("input[value=stopped]").check()
    page.locator("[data-key='end.why']").fill("the glass cracked: at once")
    page.locator("[data-key='end.left']").fill("5")
    page.locator("[name^=end_vessel][value=cracked]").check()
    page.locator("[name^=end_tilt][value=untried]").check()
    kept(page)
    again(page)
    assert page.locator("[data-key=before]").input_value() == "253.8 g"
    later = parsed(saved(page)[1])
    assert later["cycles"] == [
        *first["cycles"], {"on": "2026-11-29", "trimmed": "0.3 g", "before": "253.8 g"},
    ]  # fmt: skip
    assert later["end"] == {"how": "stopped", "why": "the glass cracked: at once", "left": "5 g",
                            "vessel": "cracked", "tilt": "untried"}  # fmt: skip
    assert later["session"] == first["session"]
    assert later["record"] == first["record"]


def test_an_answer_holds_for_what_was_asked(visit: Visit) -> None:
    """That it was read so stands in the file by the cycle's number, and falls with a change."""
    page = ready(visit)
    type_in(page, {**READ, "flame": "80"})
    asked = page.locator("[data-asked-list] li").all_text_contents()
    told = "Cycle 8: the flame reached 80 mm (3.15 in); at most 75 mm (2.95 in) is allowed."
    assert [one.replace("\u00a0", " ") for one in asked] == [told]
    page.locator("[data-as-read]").check()
    kept(page)
    assert parsed(saved(page)[1])["as_read"] == ["1"]
    page.locator("[data-key=flame]").fill("81")
    assert not page.locator("[data-as-read]").is_checked()


def picture(page: "Page", width: int, height: int) -> bytes:
    """Return a picture drawn by the browser."""
    url = page.evaluate(
        "([w, h]) => { const c = document.createElement('canvas'); c.width = w; c.height = h;"
        " c.getContext('2d').fillRect(9, 9, 99, 99); return c.toDataURL('image/png'); }",
        [width, height],
    )
    import base64  # noqa: PLC0415 -- here alone

    return base64.b64decode(url.split(",")[1])


def test_a_photo_goes_beside_the_text(visit: Visit, tmp_path: Path) -> None:
    """It is scaled down, kept over a reload, and handed over as a file of its own."""
    import hashlib  # noqa: PLC0415 -- here alone

    page = ready(visit)
    drawn = tmp_path / "drawn.png"
    drawn.write_bytes(picture(page, 3200, 800))
    page.locator("[data-photo]").set_input_files(drawn)
    page.locator("[data-photo-shown]:visible").wait_for()
    page.locator("[data-key=alt]").fill("The pool")
    page.locator("[data-key=flame]").fill("20")
    kept(page)
    again(page)
    page.locator("[data-photo-shown]:visible").wait_for()
    assert "1600 by 400" in (page.locator("[data-photo-told]").text_content() or "")
    found: list[Download] = []
    # Playwright takes no method of a list.
    page.on("download", lambda one: found.append(one))  # noqa: PLW0108
    page.locator("[data-hand=save]").click()
    page.wait_for_timeout(1500)
    files = {one.suggested_filename: Path(one.path()).read_bytes() for one in found}
    text, image = sorted(files, key=lambda name: name.endswith(".jpg"))
    told = parsed(files[text].decode())["photos"]
    assert told == {"1": {"file": image, "sha256": hashlib.sha256(files[image]).hexdigest(),
                          "alt": "The pool"}}  # fmt: skip
    assert files[image][:3] == b"\xff\xd8\xff"
    assert b"Exif" not in files[image]


def test_throwing_away_is_asked_twice(visit: Visit) -> None:
    """A no at either question keeps it all."""
    page = ready(visit)
    type_in(page)
    page.locator("[data-discard]").click()
    page.locator("[data-discard-yes]").click()
    page.locator("[data-discard-no]").click()
    again(page)
    assert values_in(page) == TYPED
    page.locator("[data-discard]").click()
    page.locator("[data-discard-yes]").click()
    page.locator("[data-discard-yes]").click()
    page.locator("[data-kept]").filter(has_text="Thrown away.").wait_for()
    again(page)
    assert values_in(page) == {}


def test_where_nothing_can_be_kept(browser: "Browser", site: Path) -> None:
    """It is said before the first reading, and the file can be saved at each step."""
    with visiting(browser, site.as_uri()) as visit:
        visit.page.add_init_script(
            "IDBFactory.prototype.open = () => { throw new Error('no'); };"
            "Storage.prototype.setItem = () => { throw new Error('no'); };"
        )
        page = ready(visit)
        assert page.locator("[data-bench-trouble]").is_visible()
        page.locator("[data-key=flame]").fill("20")
        page.locator("[data-kept]").filter(has_text="NOT KEPT").wait_for()
        assert parsed(saved(page)[1])["cycles"][0]["flame"] == "20 mm"


@pytest.mark.parametrize("dead", ["IDBFactory.prototype.open", "Storage.prototype.setItem"])
def test_one_of_two_places_is_enough(browser: "Browser", site: Path, dead: str) -> None:
    """Without the base the plain store keeps it, and says that it is the lesser; and the other."""
    context = browser.new_context()
    context.add_init_script(f"{dead} = () => {{ throw new Error('no'); }};")
    page = ready(Visit(context.new_page(), site.as_uri()))
    assert not page.locator("[data-bench-trouble]").is_visible()
    page.locator("[data-key=flame]").fill("20")
    page.locator("[data-kept]").filter(has_text="Kept at").wait_for()
    lesser = "lesser" in (page.locator("[data-kept]").text_content() or "")
    assert lesser is dead.startswith("IDB")
    again(page)
    assert page.locator("[data-key=flame]").input_value() == "20"
    context.close()


def test_it_opens_again_without_a_network(browser: "Browser", site: Path) -> None:
    """Over http a dropped tab opens again when the server is gone, with all that was typed."""
    context = browser.new_context()
    with serving(site) as address:
        page = ready(Visit(context.new_page(), address))
        type_in(page)
        page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        page.wait_for_timeout(2000)  # it fetches what it keeps
        page.close()
    context.set_offline(True)
    again_ = Visit(context.new_page(), address)
    assert values_in(ready(again_)) == TYPED
    assert parsed(saved(again_.page)[1])["cycles"] == [WRITTEN]
    assert again_.page.locator("h1").evaluate("it => getComputedStyle(it).fontFamily") != "serif"
    ready(again_, "bench/index.html")
    context.close()
