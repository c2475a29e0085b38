"""What the keys of one record say of each other, to the last value that can be true."""

from datetime import date, timedelta

import pytest

from handbook_builder.reading.records import read_texts
from handbook_builder.studio.studio import link
from tests.records_in_text import BASE, OIL, RECIPE, VESSEL, WAX, WICK, as_bytes, burn, whole_life


def told(**files: str) -> list[str]:
    """Return the codes of what is told of a studio with these records; `__` stands for `/`."""
    named = {
        path.replace("__", "/").replace("_", "-") + ".md": text for path, text in files.items()
    }
    return [one.code for one in link(read_texts(as_bytes({**BASE, **named}), "records/"))[1]]


@pytest.mark.parametrize(
    ("keys", "codes"),
    [
        ("heat_to: 80 degC\nadd_at: 80 degC\npour_at: 80 degC\nflash_point: 81 degC", []),
        ("heat_to: 80 degC\nflash_point: 80 degC", ["heat_over_flash"]),
        ("add_at: 80 degC\nflash_point: 80 degC", ["heat_over_flash"]),
        ("pour_at: 80 degC\nflash_point: 80 degC", ["heat_over_flash"]),
        ("heat_to: 80 degC\nadd_at: 80.1 degC", ["heat_order"]),
        ("heat_to: 80 degC\npour_at: 80.1 degC", ["heat_order"]),
        ("heat_to: 80 degC\npour_at: 140 degF", []),  # 60 °C
        ("heat_to: 80 degC\npour_at: 600 degF", ["heat_order"]),
        ("add_at: 90 degC\npour_at: 95 degC", []),
        ("flash_point: 230 degC", []),
    ],
)
def test_the_order_of_heat(keys: str, codes: list[str]) -> None:
    """Below the flash point, and never hotter than it was heated."""
    assert told(waxes__soy=WAX.replace("cure:", f"{keys}\ncure:")) == codes


@pytest.mark.parametrize(
    ("path", "text", "after"),
    [
        ("vessels__tumbler", VESSEL, "use:"),
        ("waxes__soy", WAX, "cure:"),
        ("wicks__cotton_8", WICK, "core:"),
        ("fragrances__fig_oil", OIL, "max_use:"),
        ("colorants__red", "---\nform: flakes\n---\n", "form:"),
        ("packaging__lid", "---\nform: lid\n---\n", "form:"),
    ],
)
def test_a_specification_and_its_day(path: str, text: str, after: str) -> None:
    """One above the first has a day, and only that has one: of everything that is bought."""

    def with_keys(keys: str) -> list[str]:
        return told(**{path: text.replace(after, f"{keys}\n{after}")})

    assert with_keys("spec: 2\nspec_since: 2026-04-01") == []
    assert with_keys("spec: 1") == []
    assert with_keys("spec: 2") == ["overripe"]
    assert with_keys("spec_since: 2026-04-01") == ["spec_days"]
    assert with_keys("spec: 1\nspec_since: 2026-04-01") == ["spec_days"]


@pytest.mark.parametrize(("spec", "codes"), [(1, []), (2, []), (3, ["spec_unknown"])])
def test_an_entry_speaks_of_a_make_that_is_on_file(spec: int, codes: list[str]) -> None:
    """Up to the number of its item."""
    now = "spec: 2\nspec_since: 2026-04-01\n"
    vessel = VESSEL.replace("use:", f"{now}use:").replace(
        "jar-house}", f"jar-house, spec: {spec}}}"
    )
    assert told(vessels__tumbler=vessel) == codes
    tested = f"leak_test: {{on: 2026-01-05, hours: 24 h, result: dry, spec: {spec}}}\n"
    assert told(vessels__tumbler=VESSEL.replace("use:", f"{now}{tested}use:")) == codes
    for paper in ("certificate", "safety_sheet"):
        oil = OIL.replace("max_use", f"{now}max_use").replace(
            f"{paper}: {{on: 2025-11-01}}", f"{paper}: {{on: 2025-11-01, spec: {spec}}}"
        )
        assert told(fragrances__fig_oil=oil) == codes
    wick = WICK.replace(
        "core: cotton", f"{now}core: zinc\nlead_free: {{on: 2026-01-05, by: x, spec: {spec}}}"
    )
    assert told(wicks__cotton_8=wick) == codes


def test_a_candle_is_of_a_make_that_is_on_file() -> None:
    """A specification that no record knows would take a failure out of the way."""
    for spec, codes in ((1, []), (2, ["spec_unknown"])):
        for item in ("vessels/tumbler", "waxes/soy", "wicks/cotton-8", "fragrances/fig-oil"):
            made = f"  spec: {{{item}: {spec}}}\n"
            assert told(burns__fig_a=burn(made=made)) == codes
    newer = WAX.replace("cure:", "spec: 2\nspec_since: 2026-04-01\ncure:")
    text = burn(made="  spec: {waxes/soy: 2}\n")
    assert told(burns__fig_a=text, waxes__soy=newer) == []


def test_the_make_of_nothing_on_file_is_told_as_that() -> None:
    """Once, by its id."""
    assert told(burns__fig_a=burn(made="  spec: {waxes/say: 2}\n")) == ["dangling"]
    assert told(burns__fig_a=burn(made="  spec: {burns/fig-a: 2}\n")) == ["unknown_item"]


@pytest.mark.parametrize(
    ("days", "codes"), [(180, []), (181, ["far_apart"]), (365, ["far_apart"]), (-400, [])]
)
def test_how_far_apart_cycles_may_be(days: int, codes: list[str]) -> None:
    """Half a year forwards; backwards is a gap of the candle, told with its verdict."""
    late = date(2026, 3, 18) + timedelta(days=days)
    life = [*whole_life()[:3], whole_life()[3].replace("2026-03-19", late.isoformat())]
    assert told(burns__fig_a=burn(cycles=life)) == codes


@pytest.mark.parametrize(("days", "codes"), [(366, []), (367, ["far_apart"])])
def test_how_long_after_its_pouring_a_candle_may_be_lit(days: int, codes: list[str]) -> None:
    """A leap year, far beyond any cure."""
    late = date(2026, 3, 1) + timedelta(days=days)
    life = [whole_life()[0].replace("2026-03-16", late.isoformat())]
    assert told(burns__fig_a=burn(cycles=life, end="")) == codes


def test_misuse_says_how() -> None:
    """One without the other is half a word."""
    assert told(burns__fig_a=burn(more="as: misuse\nhow: moved\n")) == []
    assert told(burns__fig_a=burn(more="as: misuse\n")) == ["half_of_misuse"]
    assert told(burns__fig_a=burn(more="how: moved\n")) == ["half_of_misuse"]
    assert told(burns__fig_a=burn()) == []


def test_filled_hot_with_a_blend() -> None:
    """Every wax of it needs its molten density; to the line, or in grams, none does."""
    liquid = WAX.replace("cure:", "liquid_density: {density: 0.84 g/mL, at: 65 degC}\ncure:")
    blend = RECIPE.replace("wax: soy", "wax: {soy: 50 %, coco: 50 %}")
    hot = blend.replace("108 g", "to_line_hot")
    assert told(recipes__fig=hot, waxes__coco=WAX) == ["hot_without_density"] * 2
    assert told(recipes__fig=hot, waxes__coco=liquid) == ["hot_without_density"]
    assert told(recipes__fig=hot, waxes__coco=liquid, waxes__soy=liquid) == []
    assert told(recipes__fig=blend.replace("108 g", "to_line"), waxes__coco=WAX) == []
    assert told(recipes__fig=hot.replace("coco", "cocos")) == ["dangling", "hot_without_density"]


def test_a_wet_leak_test_of_what_is_not_porous() -> None:
    """It leaked, whatever it is: unsaid and no are both contradicted, yes is not."""
    wet = "leak_test: {on: 2026-01-05, hours: 24 h, result: wet}\n"
    dry = wet.replace("wet", "dry")
    for porous, codes in (("porous: no\n", ["wet_but_not_porous"]), ("", ["wet_but_not_porous"]),
                          ("porous: yes\nsealed: yes\n", [])):  # fmt: skip
        assert told(vessels__tumbler=VESSEL.replace("porous: no\n", porous + wet)) == codes
        assert told(vessels__tumbler=VESSEL.replace("porous: no\n", porous + dry)) == []


def test_incidents_are_counted() -> None:
    """With the count, the last one cannot go unnoticed either."""
    one = "---\nnumber: 1\non: 2026-04-01\nabout: recipes/fig\nwhat: It smoked.\n---\n"
    studio = BASE["studio.md"]
    counted = studio.replace("protocol:", "incidents: {}\nprotocol:")
    assert told() == []
    assert told(studio=counted.format(0)) == []
    assert told(studio=counted.format(1)) == ["incidents_count"]
    assert told(studio=counted.format(1), incidents__one=one) == []
    assert told(studio=counted.format(0), incidents__one=one) == ["incidents_count"]
    raw = {path: text.encode() for path, text in {**BASE, "incidents/one.md": one}.items()}
    raw["recipes/fig.md"] = RECIPE.replace("as filed", "0").encode()
    assert [one.code for one in link(read_texts(raw, "records/"))[1]] == ["incidents_uncounted"]


def test_an_incident_that_cannot_be_read_is_told_once() -> None:
    """Its own fault is enough: the count is asked for once it can be read."""
    counted = BASE["studio.md"].replace("protocol:", "incidents: 1\nprotocol:")
    broken = "---\nnumber: one\non: 2026-04-01\nabout: recipes/fig\nwhat: It smoked.\n---\n"
    assert told(studio=counted, incidents__one=broken) == ["not_a_count"]


BILL = (
    "---\nsupplier: jar-house\non: 2026-04-04\n"
    "lines: [{item: waxes/soy, quantity: 1 kg, price: 6.20, lot: W-1}]\n---\n"
)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("jar-house", "other-house"),
        ("2026-04-04", "2026-04-05"),
        ("waxes/soy", "waxes/coco"),
        ("1 kg", "1.1 kg"),
        ("6.20", "6.21"),
        ("W-1", "W-2"),
        (", lot: W-1", ""),
    ],
)
def test_a_bill_is_a_copy_only_when_all_of_it_agrees(old: str, new: str) -> None:
    """Supplier, day, goods, prices and lots: what differs in one is another bill."""
    other = {"suppliers__other_house": BASE["suppliers/jar-house.md"], "waxes__coco": WAX}
    assert told(purchases__one=BILL, purchases__two=BILL, **other) == ["bill_twice"]
    assert told(purchases__one=BILL, purchases__two=BILL.replace(old, new), **other) == []


def test_each_further_copy_of_a_bill_is_told() -> None:
    """Of three that are alike, two are copies."""
    assert told(purchases__a=BILL, purchases__b=BILL, purchases__c=BILL) == ["bill_twice"] * 2


def test_hands_are_on_file_once_helpers_are_kept() -> None:
    """Who burns, sets aside and pours."""
    helper = {"helpers__wren": "---\nmay: [burn]\n---\n"}
    void = "void: {why: it fell, by: %s, on: 2026-04-01}\n"
    batch = "---\nrecipe: fig\non: 2026-04-05\nmade: 6\nby: %s\nlots: {}\n---\n"
    for name, codes in (("wren", []), ("ouzel", ["unknown_helper"])):
        assert told(burns__fig_a=burn(more=f"by: {name}\n"), **helper) == codes
        assert told(burns__fig_a=burn(more=void % name), **helper) == codes
        assert told(batches__one=batch % name, **helper) == codes
        assert told(burns__fig_a=burn(more=f"by: {name}\n")) == []


@pytest.mark.parametrize(
    ("spec", "since", "codes"),
    [
        (2, "[2026-04-01]", []),
        (3, "[2026-04-01, 2026-04-02]", []),
        (3, "2026-04-01", ["spec_days"]),
        (3, "[]", ["empty_list"]),
        (2, "[2026-04-01, 2026-04-02]", ["spec_days"]),
        (3, "[2026-04-02, 2026-04-01]", ["spec_days_mixed"]),
        (3, "[2026-04-01, 2026-04-01]", ["spec_days_mixed"]),
        (2, "[2026-04-02, 2026-04-01]", ["spec_days", "spec_days_mixed"]),
    ],
)
def test_each_further_make_has_its_day(spec: int, since: str, codes: list[str]) -> None:
    """In the order in which they came."""
    text = WAX.replace("cure:", f"spec: {spec}\nspec_since: {since}\ncure:")
    assert told(waxes__soy=text) == codes


LIMIT = "  - {measure: depth, at_most: 12 mm, on_breach: fail, published: no, source: ours}\n"


@pytest.mark.parametrize(
    ("old", "new", "codes"),
    [
        ("12 mm", "12 mm", ["limit_twice"]),
        ("12 mm", "20 mm", ["limit_twice"]),
        ("ours", "others", ["limit_twice"]),
        ("depth", "flame", []),
        ("at_most: 12 mm", "at_least: 2 mm", []),
        ("fail", "watch", []),
        ("ours", "ours, material: metal", []),
    ],
)
def test_a_protocol_gives_each_limit_once(old: str, new: str, codes: list[str]) -> None:
    """The looser of two might be the last: measure, direction, breach and material are its slot."""
    text = f"---\nlimits:\n{LIMIT}{LIMIT.replace(old, new)}---\n"
    assert told(protocols__house=text) == codes
    assert told(protocols__house=f"---\nlimits:\n{LIMIT}---\n") == []
    metal = LIMIT.replace("ours", "ours, material: metal")
    assert told(protocols__house=f"---\nlimits:\n{metal}{metal}---\n") == ["limit_twice"]


@pytest.mark.parametrize("key", ["fragrance", "colorant", "wicks"])
def test_what_a_candle_was_made_of_is_said_to_the_last(key: str) -> None:
    """Left out, it would be another candle's; `none` is an answer."""
    lines = burn().splitlines(keepends=True)
    text = "".join(one for one in lines if not one.startswith(f"  {key}:"))
    assert text != burn()
    assert told(burns__fig_a=text) == ["missing_key"]
    plain = burn().replace("  fragrance: {fig-oil: 8.0 g}\n", "  fragrance: none\n")
    assert told(burns__fig_a=plain) == []
