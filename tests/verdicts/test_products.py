"""One product: which candles speak for it, what stands in the way, and its status."""

from datetime import date

import pytest

from handbook_builder.verdicts.approval import Product, every_candle
from handbook_builder.verdicts.combination import Difference, Named, code_of_combination
from handbook_builder.verdicts.series import letters
from tests.records_in_text import (
    BASE,
    DAY,
    FULL_CYCLE,
    OIL,
    RECIPE,
    STUDIO,
    VESSEL,
    WAX,
    WICK,
    burn,
    proven,
)
from tests.verdicts.told import codes, judged, numbers, told

FAILING = {"cycles": [
    ("{on: 2026-03-16, burned: 4 h, before: 400.0 g, after: 374.0 g, pool: 70 mm, flame: 80 mm, "
    "wall: 52 degC, after_smoke: 8 s}")
], "end": ""}  # fmt: skip


def fig(files: dict[str, str], day: date = DAY) -> Product:
    """Return the verdict on the recipe `fig`."""
    return judged(files, day).products["fig"]


def stated(item: str, spec: int = 2) -> dict[str, str]:
    """Return a proven studio whose candles say of which specification an item was."""
    made = f"  spec: {{{item}: {spec}}}\n"
    burns = {f"burns/fig-{one}.md": burn(one.upper(), made=made) for one in "abc"}
    return {**proven(), **burns}


def with_recipe(old: str, new: str, files: dict[str, str] | None = None) -> dict[str, str]:
    """Return a proven studio whose recipe was changed after its tests."""
    assert old in RECIPE
    return {**(files or proven()), "recipes/fig.md": RECIPE.replace(old, new)}


def test_approved() -> None:
    """Three passed, nothing else in the way."""
    found = fig(proven())
    assert found.status == "approved"
    assert found.missing == ()
    assert [one.id for one in found.evidence.passed] == ["fig-a", "fig-b", "fig-c"]
    assert found.near_misses == ()
    assert found.recipe.source.id == "fig"
    assert judged(proven()).as_of == DAY


def test_untested() -> None:
    """No candle at all."""
    found = fig(dict(BASE))
    assert found.status == "untested"
    assert told(found.missing) == [("too_few_passed", 2, {"passed": 0, "needed": 3, "short": 3})]


def test_in_test() -> None:
    """One candle is enough to be in test: passed, burning or incomplete."""
    two = {**BASE, "burns/fig-a.md": burn("A", candles=2), "burns/fig-b.md": burn("B", candles=2)}
    assert fig(two).status == "in_test"
    assert told(fig(two).missing) == [("too_few_passed", 2, {"passed": 2, "needed": 3, "short": 1})]
    burning = {**BASE, "burns/fig-a.md": burn("A", candles=1, end="")}
    assert fig(burning).status == "in_test"
    assert [one.id for one in fig(burning).evidence.burning] == ["fig-a"]
    stopped = "{how: stopped, vessel: sound, tilt: steady}"
    incomplete = {**BASE, "burns/fig-a.md": burn("A", candles=1, end=stopped)}
    assert fig(incomplete).status == "in_test"
    assert [one.id for one in fig(incomplete).evidence.incomplete] == ["fig-a"]


def test_a_void_candle_counts_neither_way() -> None:
    """Set aside, it neither proves nor disproves, and is still shown."""
    void = "void: {why: the wick came loose, by: the maker, on: 2026-04-01}\n"
    files = {**proven(), "burns/fig-c.md": burn("C", more=void)}
    found = fig(files)
    assert found.status == "in_test"
    assert [one.id for one in found.evidence.void] == ["fig-c"]
    only = {**BASE, "burns/fig-a.md": burn("A", candles=1, more=void)}
    assert fig(only).status == "untested"


def test_one_failure_fails() -> None:
    """However many passed; the candle and the line that failed it are told."""
    files = {**proven(), "burns/fig-d.md": burn("D", candles=1, **FAILING)}
    files["burns/fig-d.md"] = files["burns/fig-d.md"].replace("2026-03-01", "2026-03-02")
    found = fig(files)
    assert found.status == "failed"
    assert told(found.missing) == [("candle_failed", 15, {"burn": "fig-d", "candle": "D"})]
    assert found.missing[0].place.file == "records/burns/fig-d.md"
    assert [one.id for one in found.evidence.failed] == ["fig-d"]


def test_needed_candles_are_the_protocols() -> None:
    """A studio that asks for two is content with two."""
    files = {
        **proven(),
        "studio.md": STUDIO.replace("default", "house"),
        "protocols/house.md": "---\ntest_candles: 4\n---\n",
    }
    assert fig(files).status == "in_test"
    assert told(fig(files).missing)[0][2] == {"passed": 3, "needed": 4, "short": 1}


def test_retired() -> None:
    """From its day on, and before everything else."""
    files = with_recipe("fill: 108 g", "fill: 108 g\nretired: 2026-04-15")
    assert fig(files).status == "retired"
    assert told(fig(files).missing) == [("retired", 9, {"on": date(2026, 4, 15)})]
    assert fig(files, date(2026, 4, 15)).status == "retired"
    assert fig(files, date(2026, 4, 14)).status == "approved"


@pytest.mark.parametrize(
    ("wax", "oil", "counts"),
    [
        ("100.0 g", "8.0 g", True),
        ("102.0 g", "8.16 g", True),
        ("102.1 g", "8.17 g", False),
        ("98.0 g", "7.84 g", True),
        ("97.9 g", "7.83 g", False),
        ("100.0 g", "8.2 g", True),
        ("100.0 g", "8.3 g", False),
        ("100.0 g", "7.8 g", True),
        ("100.0 g", "7.7 g", False),
    ],
)
def test_what_was_weighed_decides(wax: str, oil: str, *, counts: bool) -> None:
    """Fill within 2 %, oil within 0.2 points of the finished candle; the hope does not count.

    100 g and 8.2 g: 8.2/108.2 = 7.579 %, against 7.407 %: 0.17 points. With 8.3 g: 0.257.
    """
    poured_g = float(wax.split(maxsplit=1)[0]) + float(oil.split(maxsplit=1)[0])
    end = f"{{how: went_out, left: {poured_g - 104:.2f} g, vessel: sound, tilt: steady, cycles: 4}}"
    files = {**proven(), "burns/fig-c.md": burn("C", wax=wax, oil=oil, end=end)}
    found = fig(files)
    assert found.status == ("approved" if counts else "in_test")
    assert [one.candle.id for one in found.near_misses] == ([] if counts else ["fig-c"])


@pytest.mark.parametrize(
    ("wax", "oil", "reaches"),
    [
        ("104.0 g", "8.32 g", True),
        ("104.1 g", "8.33 g", False),
        ("100.0 g", "8.4 g", True),
        ("100.0 g", "8.5 g", False),
    ],
)
def test_bad_news_reaches_further(wax: str, oil: str, *, reaches: bool) -> None:
    """A failed candle counts within twice the tolerances."""
    bad = burn("D", candles=1, wax=wax, oil=oil, **FAILING).replace("2026-03-01", "2026-03-02")
    found = fig({**proven(), "burns/fig-d.md": bad})
    assert found.status == ("failed" if reaches else "approved")
    assert [one.candle.id for one in found.near_misses] == ["fig-d"]


def test_a_changed_wick() -> None:
    """Another wick is another candle; the page can say in what the tests differ."""
    files = with_recipe("cotton-8", "cotton-10", {**proven(), "wicks/cotton-10.md": WICK})
    found = fig(files)
    assert found.status == "untested"
    assert [one.candle.id for one in found.near_misses] == ["fig-a", "fig-b", "fig-c"]
    wick = Difference("wick", "", Named("cotton-8", 1), Named("cotton-10", 1))
    assert found.near_misses[0].differences == (wick,)


def test_every_other_factor() -> None:
    """Vessel, number of wicks, wax, oil, dye: each alone makes another candle, and is named."""
    more = {
        **proven(),
        "vessels/beaker.md": VESSEL,
        "waxes/other.md": WAX,
        "fragrances/rose-oil.md": OIL,
        "colorants/red.md": "---\nform: flakes\n---\n",
    }
    cases = {
        "vessel": ("vessel: tumbler", "vessel: beaker", "vessel"),
        "wicks": ("wick: cotton-8", "wick: cotton-8\nwicks: 2", "wicks"),
        "wax": ("wax: soy", "wax: other", "wax"),
        "blend": ("wax: soy", "wax: {soy: 50 %, other: 50 %}", "wax"),
        "fragrance": ("fig-oil: 8 %", "rose-oil: 8 %", "fragrance"),
        "colorant": ("load_basis", "colorant: {red: 0.1 %}\nload_basis", "colorant"),
    }
    for old, new, factor in cases.values():
        found = fig(with_recipe(old, new, more))
        assert found.status == "untested", factor
        assert found.near_misses[0].differences[0].factor == factor


def test_differences_in_what_was_weighed() -> None:
    """Fill and load outside the tolerances are told with both numbers."""
    found = fig({**proven(), "burns/fig-c.md": burn("C", wax="110.0 g", oil="11.0 g")})
    assert found.near_misses[0].differences == (
        Difference("fragrance_share", "fig-oil", 11 / 121, pytest.approx(8 / 108)),
        Difference("net", "", 121.0, 108.0),
    )


def test_waxes_and_dyes_are_weighed_too() -> None:
    """A blend, and a dye, count within 0.2 points of their share of the wax."""
    files = {
        **BASE,
        "waxes/other.md": WAX,
        "colorants/red.md": "---\nform: flakes\n---\n",
        "recipes/fig.md": RECIPE.replace("wax: soy", "wax: {soy: 70 %, other: 30 %}").replace(
            "load_basis", "colorant: {red: 1 %}\nload_basis"
        ),
    }

    def one(soy: str, other: str, red: str) -> Product:
        text = burn("A", candles=1).replace("{soy: 100.0 g}", f"{{soy: {soy} g, other: {other} g}}")
        text = text.replace("  colorant: none", f"  colorant: {{red: {red} g}}")
        return fig({**files, "burns/fig-a.md": text})

    assert one("70.0", "30.0", "1.0").status == "in_test"
    assert one("70.2", "29.8", "1.2").status == "in_test"
    off = one("70.3", "29.7", "1.3")
    assert off.status == "untested"
    assert off.near_misses[0].differences == (
        Difference("wax_share", "soy", pytest.approx(0.703), pytest.approx(0.7)),
        Difference("wax_share", "other", pytest.approx(0.297), pytest.approx(0.3)),
        Difference("colorant_share", "red", pytest.approx(0.013), pytest.approx(0.01)),
    )


def _respecified(folder: str, text: str, **more: str) -> dict[str, str]:
    changed = text.replace("---\n", "---\nspec: 2\nspec_since: 2026-04-01\n", 1)
    return {**proven(), **more, folder: changed}


@pytest.mark.parametrize(
    ("path", "factor"),
    [
        ("vessels/tumbler.md", "vessel"),
        ("waxes/soy.md", "wax"),
        ("wicks/cotton-8.md", "wick"),
        ("fragrances/fig-oil.md", "fragrance"),
    ],
)
def test_a_new_specification(path: str, factor: str) -> None:
    """A candle made before the maker changed the item carries the former one."""
    files = _respecified(path, BASE[path])
    found = fig(files)
    assert found.status == "untested"
    assert [one.factor for one in found.near_misses[0].differences] == [factor]
    assert fig(files, date(2026, 3, 31)).status == "approved"
    assert fig(files, date(2026, 4, 1)).status == "untested"


def test_a_specification_stated_by_the_candle() -> None:
    """A maker may have had the new stock early, and says so."""
    files = {**_respecified("waxes/soy.md", WAX), **stated("waxes/soy")}
    files["waxes/soy.md"] = WAX.replace("---\n", "---\nspec: 2\nspec_since: 2026-04-01\n", 1)
    assert fig(files).status == "approved"


def test_a_candle_made_on_the_day_of_the_new_specification() -> None:
    """`spec_since` is the first day of the new one, and from then on the candle says which."""
    wax = WAX.replace("---\n", "---\nspec: 2\nspec_since: 2026-03-01\n", 1)
    assert fig({**proven(), "waxes/soy.md": wax}).status == "in_test"
    assert fig({**stated("waxes/soy"), "waxes/soy.md": wax}).status == "approved"
    late = wax.replace("2026-03-01", "2026-03-02")
    assert fig({**proven(), "waxes/soy.md": late}).status == "untested"


def test_two_recipes_of_one_combination_share_the_evidence() -> None:
    """Title and packaging are not part of the candle."""
    files = {**proven(), "recipes/gift.md": RECIPE.replace("Fig", "Fig, as a gift")}
    assert judged(files).products["gift"].status == "approved"
    assert judged(files).products["gift"].near_misses == ()


def test_the_vessel_must_be_cleared() -> None:
    """Enough candles passed, but the vessel is not cleared: held, and the vessel's line told."""
    files = {**proven(), "vessels/tumbler.md": VESSEL.partition("heat_evidence")[0] + "---\n"}
    found = fig(files)
    assert found.status == "held"
    details = {"vessel": "tumbler", "screening": "ask_first"}
    assert told(found.missing) == [("vessel_not_cleared", 2, details)]
    assert found.missing[0].place.file == "records/vessels/tumbler.md"
    assert found.screened.screening == "ask_first"


def test_a_practice_vessel() -> None:
    """It teaches, and never counts for a product."""
    found = fig({**proven(), "vessels/tumbler.md": VESSEL.replace("use: product", "use: practice")})
    assert found.status == "held"
    assert told(found.missing) == [("vessel_practice", 4, {"vessel": "tumbler"})]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "max_use: 9 %",
            "max_use: 7 %",
            (
                "oil_over_max_use",
                3,
                {"fragrance": "fig-oil", "is_share": 8 / 108, "most_share": pytest.approx(0.07)},
            ),
        ),
        ("max_use: 9 %\n", "", ("oil_max_use_unknown", 2, {"fragrance": "fig-oil"})),
        (
            "certificate: {on: 2025-11-01}\n",
            "",
            ("certificate_missing", 2, {"fragrance": "fig-oil"}),
        ),
        (
            "safety_sheet: {on: 2025-11-01}\n",
            "",
            ("safety_sheet_missing", 2, {"fragrance": "fig-oil"}),
        ),
    ],
)
def test_the_papers_of_an_oil(old: str, new: str, expected: tuple[str, int, object]) -> None:
    """What the oil's papers forbid or do not yet say holds the product."""
    assert old in OIL
    found = fig({**proven(), "fragrances/fig-oil.md": OIL.replace(old, new)})
    assert found.status == "held"
    code, line, details = expected
    assert [(c, at) for c, at, _ in told(found.missing)] == [(code, line)]
    assert numbers(found.missing[0]) == pytest.approx(details)


def test_papers_dated_later() -> None:
    """As of a day before, the paper is not on file."""
    late = OIL.replace("certificate: {on: 2025-11-01}", "certificate: {on: 2026-04-20}")
    files = {**proven(), "fragrances/fig-oil.md": late}
    early = fig(files, date(2026, 4, 19)).missing
    assert told(early) == [("certificate_missing", 4, {"fragrance": "fig-oil"})]
    assert fig(files, date(2026, 4, 20)).status == "approved"
    late = OIL.replace("sheet: {on: 2025-11-01}", "sheet: {on: 2026-04-20}")
    files = {**proven(), "fragrances/fig-oil.md": late}
    early = fig(files, date(2026, 4, 19)).missing
    assert told(early) == [("safety_sheet_missing", 5, {"fragrance": "fig-oil"})]
    assert fig(files, date(2026, 4, 20)).status == "approved"


def test_equal_to_the_largest_use_is_allowed() -> None:
    """7.4 % of the finished candle where 7.4 % is the most."""
    files = with_recipe("fig-oil: 8 %", "fig-oil: 7.4 %")
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("basis: wax", "basis: total")
    files["fragrances/fig-oil.md"] = OIL.replace("max_use: 9 %", "max_use: 7.4 %")
    assert fig(files).status == "approved"


def test_the_load_of_the_wax() -> None:
    """The summed load on the wax against what the wax takes; equal is allowed."""
    files = {**proven(), "waxes/soy.md": WAX.replace("max_load: 10 %", "max_load: 8 %")}
    assert fig(files).status == "approved"
    files["waxes/soy.md"] = WAX.replace("max_load: 10 %", "max_load: 7.9 %")
    found = fig(files)
    assert found.status == "held"
    expected = {"is_share": pytest.approx(0.08), "most_share": pytest.approx(0.079)}
    assert told(found.missing) == [("load_over_max_load", 6, expected)]


def test_the_load_of_a_blend() -> None:
    """With several waxes, the share-weighted mean of their limits: 0.5·6 % + 0.5·10 % = 8 %."""
    files = with_recipe("wax: soy", "wax: {soy: 50 %, other: 50 %}", dict(BASE))
    files["waxes/other.md"] = WAX.replace("max_load: 10 %", "max_load: 6 %")
    assert codes(fig(files).missing) == ["too_few_passed"]
    files["waxes/other.md"] = WAX.replace("max_load: 10 %", "max_load: 5.9 %")
    assert codes(fig(files).missing) == ["too_few_passed", "load_over_max_load"]


def test_a_metal_core() -> None:
    """It needs the word that it holds no lead, from the word's day on."""
    zinc = WICK.replace("core: cotton", "core: zinc")
    found = fig({**proven(), "wicks/cotton-8.md": zinc})
    assert found.status == "held"
    assert told(found.missing) == [("lead_free_missing", 5, {"wick": "cotton-8", "core": "zinc"})]
    free = zinc.replace("core: zinc", "core: zinc\nlead_free: {on: 2026-04-20, by: the maker}")
    files = {**proven(), "wicks/cotton-8.md": free}
    assert fig(files, date(2026, 4, 19)).status == "held"
    assert fig(files, date(2026, 4, 20)).status == "approved"


@pytest.mark.parametrize("core", ["none", "paper", "wood", "hemp"])
def test_a_core_that_is_no_metal(core: str) -> None:
    """It needs no such word."""
    wick = WICK.replace("core: cotton", f"core: {core}")
    assert fig({**proven(), "wicks/cotton-8.md": wick}).status == "approved"


def test_letters() -> None:
    """A to Z, then AA; the alphabet is the outside source."""
    assert letters(0) == ()
    assert letters(26) == tuple("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    assert letters(53)[26:] == (*(f"A{one}" for one in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), "BA")


def _missing(files: dict[str, str], day: date = DAY) -> list[tuple[str, int, dict[str, object]]]:
    return told(
        reason.details["why"]  # type: ignore[misc]
        for reason in fig(files, day).missing
        if reason.code == "missing_candle"
    )


def test_a_record_that_is_gone() -> None:
    """Poured three, on file two: nothing of that recipe is approved."""
    files = proven()
    more = burn("D", candles=1).replace("2026-03-01", "2026-03-02")
    files["burns/fig-d.md"] = more
    del files["burns/fig-b.md"]
    found = fig(files)
    assert found.status == "held"
    assert _missing(files) == [
        ("pouring_incomplete", 9, {"on": date(2026, 3, 1), "poured": 3, "found": 2}),
        ("letter_missing", 20, {"candle": "B"}),
    ]
    assert [one.details["recipe"] for one in found.missing] == ["fig", "fig"]
    assert [one.place.file for one in found.missing] == ["records/burns/fig-a.md"] * 2


def test_records_that_disagree() -> None:
    """All of one pouring must say the same number."""
    files = {**proven(), "burns/fig-b.md": burn("B", candles=4)}
    assert _missing(files) == [("pouring_disagrees", 9, {"on": date(2026, 3, 1), "stated": (3, 4)})]
    assert fig(files).status == "held"


def test_a_letter_twice() -> None:
    """Two records of one letter: one of them is some other candle's."""
    files = {**proven(), "burns/fig-c.md": burn("B")}
    assert _missing(files) == [
        ("letter_missing", 20, {"candle": "C"}),
        ("letter_twice", 20, {"candle": "B"}),
        ("letter_twice", 20, {"candle": "B"}),
    ]


def test_the_recipes_own_count() -> None:
    """A recipe that says how many were poured notices even a last one that is gone."""
    files = with_recipe("test_candles: as filed", "test_candles: 4")
    assert _missing(files) == [("count_disagrees", 9, {"stated": 4, "found": 3})]
    assert _missing(with_recipe("test_candles: as filed", "test_candles: 3")) == []
    untested = with_recipe("test_candles: as filed", "test_candles: 1", dict(BASE))
    assert _missing(untested) == [("count_disagrees", 9, {"stated": 1, "found": 0})]


def test_a_later_pouring_is_not_yet_asked_for() -> None:
    """As of a day before it, the number poured that day does not count; letters always do."""
    later = burn("D", candles=2).replace("on: 2026-03-01", "on: 2026-04-10")
    files = {**proven(), "burns/fig-d.md": later}
    assert _missing(files, date(2026, 4, 9)) == []
    assert [code for code, _, _ in _missing(files, date(2026, 4, 10))] == ["pouring_incomplete"]
    gap = {**proven(), "burns/fig-e.md": later.replace("candle: D", "candle: E")}
    assert [code for code, _, _ in _missing(gap, date(2026, 4, 9))] == ["letter_missing"]


def test_a_missing_candle_reaches_whoever_shares_the_evidence() -> None:
    """Gone from one recipe, it might have spoken against the other of the same make-up."""
    files = {**proven(), "recipes/gift.md": RECIPE.replace("Fig", "Gift")}
    files["burns/gift-a.md"] = files.pop("burns/fig-b.md").replace("recipe: fig", "recipe: gift")
    files["burns/gift-a.md"] = (
        files["burns/gift-a.md"]
        .replace("candle: B", "candle: A")
        .replace("candles: 3", "candles: 1")
    )
    gift = judged(files).products["gift"]
    assert gift.status == "held"
    assert [(one.code, one.details["recipe"]) for one in gift.missing] == [
        ("missing_candle", "fig"),
        ("missing_candle", "fig"),
    ]
    assert gift.missing[0].place.file == "records/burns/fig-a.md"


def test_a_missing_candle_reaches_the_same_candle_with_no_burn_left() -> None:
    """The gift's only candle is gone; it was this make-up, and might have failed."""
    gift = RECIPE.replace("test_candles: as filed", "test_candles: 1")
    found = fig({**proven(), "recipes/gift.md": gift})
    assert found.status == "held"
    assert [one.details["recipe"] for one in found.missing] == ["gift"]
    near = fig({**proven(), "recipes/gift.md": gift.replace("108 g", "112 g")})
    assert near.status == "held"
    far = fig({**proven(), "recipes/gift.md": gift.replace("108 g", "113 g")})
    assert far.status == "approved"


INCIDENT = "---\nnumber: 1\non: 2026-04-10\nabout: {about}\nwhat: It smoked.\n{more}---\n"


def _incident(about: str, more: str = "", **files: str) -> dict[str, str]:
    return {**proven(), **files, "incidents/one.md": INCIDENT.format(about=about, more=more)}


BATCH = "---\nrecipe: fig\non: 2026-04-05\nmade: 6\nby: the maker\nlots: {waxes/soy: W-1}\n---\n"


@pytest.mark.parametrize(
    "about",
    ["recipes/fig", "vessels/tumbler", "waxes/soy", "wicks/cotton-8", "fragrances/fig-oil",
     "batches/april"],
)  # fmt: skip
def test_an_open_incident_suspends(about: str) -> None:
    """About the recipe, anything in it, or a batch of it: suspended, and since when and why."""
    files = _incident(about, **{"batches/april.md": BATCH})
    found = fig(files)
    assert found.status == "suspended"
    details = {"number": 1, "on": date(2026, 4, 10), "about": about, "what": "It smoked."}
    assert told(found.missing) == [("open_incident", 2, details)]
    assert fig(files, date(2026, 4, 9)).status == "approved"
    assert fig(files, date(2026, 4, 10)).status == "suspended"


def test_dye_and_packaging_suspend_too() -> None:
    """Everything that the recipe holds."""
    recipe = RECIPE.replace("load_basis", "colorant: {red: 0.1 %}\npackaging: {lid: 1}\nload_basis")
    more = {
        "recipes/fig.md": recipe,
        "colorants/red.md": "---\nform: flakes\n---\n",
        "packaging/lid.md": "---\nform: lid\n---\n",
    }
    for about in ("colorants/red", "packaging/lid"):
        assert fig(_incident(about, **more)).status == "suspended"


def test_a_closed_incident() -> None:
    """From the day it is closed, it suspends no more."""
    closed = "closed: {on: 2026-04-20, finding: a draught}\n"
    files = _incident("recipes/fig", closed)
    assert fig(files, date(2026, 4, 19)).status == "suspended"
    assert fig(files, date(2026, 4, 20)).status == "approved"


def test_an_incident_about_a_lot() -> None:
    """It suspends the batches that used the lot, not the recipe."""
    from handbook_builder.verdicts.incidents import open_about_batch  # noqa: PLC0415

    files = _incident("waxes/soy", "lot: W-1\n", **{"batches/april.md": BATCH})
    files["batches/may.md"] = BATCH.replace("W-1", "W-2")
    found = judged(files)
    assert found.products["fig"].status == "approved"
    april, may = found.studio.batches["april"], found.studio.batches["may"]
    assert [one.number for one in open_about_batch(found.studio, april, DAY)] == [1]
    assert open_about_batch(found.studio, may, DAY) == ()
    assert open_about_batch(found.studio, april, date(2026, 4, 9)) == ()


def test_several_incidents_come_by_number() -> None:
    """Each is told, in the order of their numbers, and reaches the batches of the recipe."""
    from handbook_builder.verdicts.incidents import open_about_batch  # noqa: PLC0415

    files = _incident("recipes/fig", **{"batches/april.md": BATCH})
    second = INCIDENT.format(about="waxes/soy", more="lot: W-1\n").replace("number: 1", "number: 2")
    third = INCIDENT.format(about="wicks/cotton-8", more="").replace("number: 1", "number: 3")
    files["incidents/a-second.md"], files["incidents/a-third.md"] = second, third
    found = judged(files)
    assert [one.details["number"] for one in found.products["fig"].missing] == [1, 3]
    batch = found.studio.batches["april"]
    assert [one.number for one in open_about_batch(found.studio, batch, DAY)] == [1, 2, 3]


def test_an_incident_reaches_the_same_candle_under_another_title() -> None:
    """What happened to one batch of a make-up can happen to any."""
    gift = {"recipes/gift.md": RECIPE.replace("Fig", "Gift")}
    batch = {"batches/april.md": BATCH.replace("recipe: fig", "recipe: gift")}
    for about in ("recipes/gift", "batches/april"):
        found = fig(_incident(about, **gift, **batch))
        assert found.status == "suspended"
        assert [one.details["about"] for one in found.missing] == [about]
    packed = {"recipes/gift.md": RECIPE.replace("load_basis", "packaging: {lid: 1}\nload_basis")}
    packed["packaging/lid.md"] = "---\nform: lid\n---\n"
    assert fig(_incident("packaging/lid", **packed)).status == "approved"
    near = {"recipes/gift.md": RECIPE.replace("108 g", "111 g")}
    assert fig(_incident("recipes/gift", **near)).status == "approved"


def test_another_recipes_incident() -> None:
    """What does not touch the product does not suspend it."""
    other = {
        "recipes/other.md": RECIPE.replace("cotton-8", "cotton-10").replace("Fig", "Other"),
        "wicks/cotton-10.md": WICK,
        "batches/april.md": BATCH.replace("recipe: fig", "recipe: other"),
    }
    for about in ("recipes/other", "wicks/cotton-10", "batches/april"):
        assert fig(_incident(about, **other)).status == "approved"


def test_the_order_of_statuses() -> None:
    """Retired before suspended before failed before held."""
    files = _incident("recipes/fig")
    files["burns/fig-c.md"] = burn("C", **FAILING)
    files["vessels/tumbler.md"] = VESSEL.replace("use: product", "use: practice")
    assert fig(files).status == "suspended"
    assert codes(fig(files).missing) == [
        "open_incident", "candle_failed", "too_few_passed", "vessel_practice",
    ]  # fmt: skip
    files["recipes/fig.md"] = RECIPE.replace("fill:", "retired: 2026-04-01\nfill:")
    assert fig(files).status == "retired"
    assert codes(fig(files).missing)[:2] == ["retired", "open_incident"]
    del files["incidents/one.md"]
    files["recipes/fig.md"] = RECIPE
    assert fig(files).status == "failed"


# --- Pourings ---


def _two_pourings(files: dict[str, str]) -> dict[str, str]:
    """Return the studio with candle C poured a day after the others."""
    files = {**files, "burns/fig-c.md": burn("C", candles=1).replace("2026-03-01", "2026-03-02")}
    for one in "ab":
        files[f"burns/fig-{one}.md"] = burn(one.upper(), candles=2)
    return files


def test_evidence_from_several_pourings() -> None:
    """A protocol may ask for it; the shipped one is content with one."""
    house = {
        "studio.md": STUDIO.replace("default", "house"),
        "protocols/house.md": "---\npourings: 2\n---\n",
    }
    one = fig({**proven(), **house})
    assert one.status == "held"
    assert told(one.missing) == [("too_few_pourings", 2, {"pourings": 1, "needed": 2})]
    assert one.evidence.pourings == 1
    two = fig(_two_pourings({**proven(), **house}))
    assert two.status == "approved"
    assert two.evidence.pourings == 2
    few = fig({**BASE, **house, "burns/fig-a.md": burn("A", candles=1)})
    assert codes(few.missing) == ["too_few_passed"]


# --- Lots of the proof ---

BILL = (
    "---\nsupplier: jar-house\non: {on}\n"
    "lines:\n  - {{item: {item}, quantity: {quantity}, price: 60.00, lot: {lot}}}\n---\n"
)
QUANTITIES = {"waxes": "10 kg", "fragrances": "1 kg", "colorants": "1 kg"}


def _bought(item: str, lot: str, on: str) -> str:
    quantity = QUANTITIES.get(item.partition("/")[0], "100 pcs")
    return BILL.format(on=on, item=item, lot=lot, quantity=quantity)


def _of_lot(item: str, lot: str, *, bought: str = "2026-02-01", burns: str = "") -> Product:
    """Return the verdict under an open incident about a lot; `burns` is the lot of candle C."""
    files = _incident(item, f"lot: {lot}\n")
    files["purchases/one.md"] = _bought(item, lot, bought)
    files["purchases/two.md"] = _bought(item, "OTHER", "2026-02-01")
    for letter in "AB":
        lots = f"lots: {{{item}: OTHER}}\n" if burns else ""
        files[f"burns/fig-{letter.lower()}.md"] = burn(letter, more=lots)
    files["burns/fig-c.md"] = burn("C", more=f"lots: {{{item}: {burns}}}\n" if burns else "")
    return fig(files)


@pytest.mark.parametrize(
    "item", ["vessels/tumbler", "waxes/soy", "wicks/cotton-8", "fragrances/fig-oil"]
)
def test_a_suspended_lot_reaches_the_proof_that_was_burned_from_it(item: str) -> None:
    """Named by one candle of the proof: suspended, with the candle, the lot and the incident."""
    found = _of_lot(item, "L-1", burns="L-1")
    assert found.status == "suspended"
    details = {
        "number": 1, "on": date(2026, 4, 10), "about": item, "lot": "L-1", "what": "It smoked.",
        "candles": ("C",),
    }  # fmt: skip
    assert told(found.missing) == [("proof_lot_suspended", 2, details)]
    assert _of_lot(item, "L-1", burns="OTHER").status == "approved"


@pytest.mark.parametrize(
    ("bought", "status"),
    [("2026-02-28", "suspended"), ("2026-03-31", "suspended"), ("2026-04-01", "approved")],
)
def test_a_proof_that_names_no_lot_may_be_of_any_on_the_shelf(bought: str, status: str) -> None:
    """Of every lot that was bought by its pouring on 1 March, or within the 30 days after it.

    Goods come before their bill: common practice, no published source.
    """
    assert _of_lot("waxes/soy", "L-1", bought=bought).status == status


def test_a_lot_of_something_in_no_candle() -> None:
    """Nor is one about the whole item a matter of lots."""
    files = _incident("wicks/cotton-9", "lot: L-1\n", **{"wicks/cotton-9.md": WICK})
    files["purchases/one.md"] = _bought("wicks/cotton-9", "L-1", "2026-02-01")
    assert fig(files).status == "approved"


def test_a_dye_of_a_suspended_lot() -> None:
    """Everything that a candle was made of."""
    recipe = RECIPE.replace("load_basis", "colorant: {red: 1 %}\nload_basis")
    files = _incident("colorants/red", "lot: L-1\n", **{"recipes/fig.md": recipe})
    files["colorants/red.md"] = "---\nform: flakes\n---\n"
    files["purchases/one.md"] = _bought("colorants/red", "L-1", "2026-02-01")
    for letter in "ABC":
        end = "{how: went_out, left: 5.0 g, vessel: sound, tilt: steady, cycles: all}"
        text = burn(letter, made="  colorant: {red: 1.0 g}\n", end=end)
        files[f"burns/fig-{letter.lower()}.md"] = text
    assert codes(fig(files).missing) == ["proof_lot_suspended"]


def test_a_lot_matters_while_its_incident_is_open_and_its_candle_passed() -> None:
    """Closed, it suspends no more; nor does the lot of a candle that proves nothing."""
    files = _incident("waxes/soy", "lot: L-1\nclosed: {on: 2026-04-20, finding: fine}\n")
    files["purchases/one.md"] = _bought("waxes/soy", "L-1", "2026-02-01")
    assert fig(files, date(2026, 4, 9)).status == "approved"
    assert fig(files, date(2026, 4, 19)).status == "suspended"
    assert fig(files, date(2026, 4, 20)).status == "approved"
    for letter in "ABC":
        files[f"burns/fig-{letter.lower()}.md"] = burn(letter, more="lots: {waxes/soy: OTHER}\n")
    files["purchases/two.md"] = _bought("waxes/soy", "OTHER", "2026-02-01")
    unfinished = burn("D", candles=1, end="", more="lots: {waxes/soy: L-1}\n",
                      cycles=[]).replace("2026-03-01", "2026-03-02")  # fmt: skip
    files["burns/fig-d.md"] = unfinished
    assert fig(files, date(2026, 4, 19)).status == "approved"


def test_suspended_lots_come_by_number() -> None:
    """Each open incident about a lot of the proof is told, in order."""
    files = _incident("waxes/soy", "lot: L-1\n")
    files["incidents/another.md"] = INCIDENT.format(
        about="wicks/cotton-8", more="lot: C-1\n"
    ).replace("number: 1", "number: 2")
    files["purchases/one.md"] = _bought("waxes/soy", "L-1", "2026-02-01")
    files["purchases/two.md"] = _bought("wicks/cotton-8", "C-1", "2026-02-01")
    assert [one.details["number"] for one in fig(files).missing] == [1, 2]


# --- Papers of a former make ---


def _second(text: str, since: str = "2026-02-01") -> str:
    return text.replace("---\n", f"---\nspec: 2\nspec_since: {since}\n", 1)


def test_papers_of_a_former_make_count_no_more() -> None:
    """A certificate and a sheet are of what was sold on their day, unless they say otherwise."""
    files = {**stated("fragrances/fig-oil"), "fragrances/fig-oil.md": _second(OIL)}
    assert codes(fig(files).missing) == ["certificate_missing", "safety_sheet_missing"]
    assert fig(files).status == "held"
    files["fragrances/fig-oil.md"] = _second(OIL).replace("2025-11-01}", "2025-11-01, spec: 2}")
    assert fig(files).status == "approved"
    files["fragrances/fig-oil.md"] = _second(OIL).replace(
        "certificate: {on: 2025-11-01}", "certificate: [{on: 2025-11-01}, {on: 2026-02-01}]"
    )
    assert codes(fig(files).missing) == ["safety_sheet_missing"]
    files["fragrances/fig-oil.md"] = _second(OIL, "2025-11-01")
    assert fig(files).status == "approved"


def test_a_word_about_a_former_core_counts_no_more() -> None:
    """The new wick's core was never spoken of."""
    zinc = WICK.replace("core: cotton", "core: zinc\nlead_free: {on: 2025-11-01, by: x}")
    assert fig({**proven(), "wicks/cotton-8.md": zinc}).status == "approved"
    found = fig({**stated("wicks/cotton-8"), "wicks/cotton-8.md": _second(zinc)})
    assert codes(found.missing) == ["lead_free_missing"]
    named = _second(zinc).replace("by: x}", "by: x, spec: 2}")
    assert fig({**stated("wicks/cotton-8"), "wicks/cotton-8.md": named}).status == "approved"


def test_a_vessel_of_a_new_make_holds_its_product() -> None:
    """Though its candles say that they were of the new make already."""
    files = {**stated("vessels/tumbler"), "vessels/tumbler.md": _second(VESSEL)}
    found = fig(files)
    assert found.status == "held"
    assert codes(found.missing) == ["vessel_not_cleared"]
    assert codes(found.screened.reasons) == ["former_evidence"]


# --- Nothing gone missing, added ---


def test_a_recipe_that_does_not_count_its_candles() -> None:
    """The last one could go unnoticed: held until the count is written."""
    files = with_recipe("test_candles: as filed\n", "")
    assert fig(files).status == "held"
    assert _missing(files) == [("count_unsaid", 2, {"found": 3})]
    assert _missing(with_recipe("test_candles: as filed\n", "", dict(BASE))) == []


def test_a_record_whose_end_counts_other_cycles() -> None:
    """Whatever the day, void or not, of a candle that counts or one that does not; misuse too."""
    end = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: 5}"
    named = {"burn": "fig-d", "candle": "D", "stated": 5, "found": 4}
    for more in ("", "void: {why: lost, by: me, on: 2026-04-01}\n"):
        cut = burn("D", candles=1, end=end, more=more).replace("2026-03-01", "2026-03-02")
        files = {**proven(), "burns/fig-d.md": cut}
        assert fig(files).status == "held"
        assert _missing(files) == [("record_cut", 19, named)]
        assert _missing(files, date(2026, 3, 18))[-1] == ("record_cut", 19, named)
    misuse = burn("D", candles=1, end=end, more="as: misuse\nhow: moved\n")
    assert fig({**proven(), "burns/fig-d.md": misuse.replace("03-01", "03-02")}).status == "held"


@pytest.mark.parametrize("burned", ["burned: 4 h", "burned: 1 h"])
@pytest.mark.parametrize("kind", ["", "as: misuse\nhow: moved\n"])
def test_a_candle_that_burns_says_how_often_it_was_lit(burned: str, kind: str) -> None:
    """Its last cycles might be gone, and its end with them; a short cycle alone means nothing."""
    last = (FULL_CYCLE % (16, 420.0, 374.0)).replace("burned: 4 h", burned)
    text = burn("D", candles=1, cycles=[last], end="", more=kind)
    text = text.replace("2026-03-01", "2026-03-02")
    files = {**proven(), "burns/fig-d.md": text}
    assert fig(files).status == "approved"
    unsaid = {**files, "burns/fig-d.md": text.replace("lit: 1\n", "")}
    named = {"burn": "fig-d", "candle": "D", "found": 1}
    assert _missing(unsaid) == [("lit_unsaid", 15, named)]
    assert fig(unsaid).status == "held"


def test_a_candle_that_was_not_lit_yet_has_lost_no_end() -> None:
    """There is no cycle to be short."""
    text = burn("D", candles=1, cycles=[], end="").replace("2026-03-01", "2026-03-02")
    assert fig({**proven(), "burns/fig-d.md": text}).status == "approved"


# --- A later fact changes no former candle ---


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("waxes/soy.md", "liquid_density: {density: 0.80 g/mL, at: 70 degC}"),
        ("waxes/soy.md", "heat_to: 80 degC"),
        ("waxes/soy.md", "melt_point: 48 degC"),
        ("colorants/red.md", "density: 1.1 g/mL"),
        ("fragrances/fig-oil.md", "flash_point: 70 degC"),
    ],
)
@pytest.mark.parametrize("fill", ["108 g", "to_line"])
def test_a_fact_that_is_written_down_later_changes_no_verdict(
    path: str, line: str, fill: str
) -> None:
    """Neither the candle nor its code: what was proven stays proven, filled as it was."""
    files = with_recipe("fill: 108 g", f"fill: {fill}")
    files["colorants/red.md"] = "---\nform: flakes\n---\n"
    files["vessels/tumbler.md"] = VESSEL.replace("210 mL", "119.2744 mL")  # 108.0 g of it
    later = {**files, path: files[path].replace("---\n", f"---\n{line}\n", 1)}
    before, after = fig(files), fig(later)
    assert before.status == after.status == "approved"
    assert before.combination == after.combination
    assert code_of_combination(before.combination) == code_of_combination(after.combination)


# --- Traces ---


def _dyed(red: str, **parts: object) -> Product:
    """Return the verdict on a recipe with 0.1 % of dye, of one candle with so much of it."""
    files = {
        **BASE,
        "colorants/red.md": "---\nform: flakes\n---\n",
        "recipes/fig.md": RECIPE.replace("load_basis", "colorant: {red: 0.1 %}\nload_basis"),
    }
    text = burn("A", candles=1, made=f"  colorant: {{red: {red}}}\n", **parts)  # type: ignore[arg-type]
    return fig({**files, "burns/fig-a.md": text})


@pytest.mark.parametrize(
    ("red", "status"),
    # Of 100 g of wax 0.1 g is due: half of it more or less is 0.05 g to 0.15 g.
    [("0.1 g", "in_test"), ("0.05 g", "in_test"), ("0.15 g", "in_test"), ("0.049 g", "untested"),
     ("0.151 g", "untested"), ("0.29 g", "untested")],
)  # fmt: skip
def test_a_trace_of_dye_is_held_to_half_of_itself(red: str, status: str) -> None:
    """0.2 points would take any dye for any other amount of it."""
    assert _dyed(red).status == status


@pytest.mark.parametrize(
    ("red", "status"),
    [("0.2 g", "failed"), ("0.001 mg", "failed"), ("0.201 g", "untested")],
)
def test_a_failure_with_a_trace_of_dye_reaches_twice_as_far(red: str, status: str) -> None:
    """From none of it to twice what is due."""
    assert _dyed(red, **FAILING).status == status


@pytest.mark.parametrize(
    ("share", "reaches"),
    # 0.4 % of 100 g: half of it is 0.2 points, as the tolerance; of 0.5 % it would be 0.25.
    [("0.3 %", "0.45 g"), ("0.4 %", "0.6 g"), ("0.5 %", "0.7 g")],
)
def test_the_smaller_of_both_holds(share: str, reaches: str) -> None:
    """Half of the share below 0.4 %, the tolerance of the protocol above."""
    files = {
        **BASE,
        "colorants/red.md": "---\nform: flakes\n---\n",
        "recipes/fig.md": RECIPE.replace("load_basis", f"colorant: {{red: {share}}}\nload_basis"),
    }
    for mass, status in ((reaches, "in_test"), (reaches.replace(" g", "1 g"), "untested")):
        text = burn("A", candles=1, made=f"  colorant: {{red: {mass}}}\n")
        assert fig({**files, "burns/fig-a.md": text}).status == status


def test_the_candles_that_count_leave_misuse_out() -> None:
    """Passed, failed, burning and incomplete ones, in that order; a misuse burn is none of them."""
    misuse = burn("D", candles=1, more="as: misuse\nhow: untrimmed\n").replace("2026-03", "2026-04")
    burning = burn("E", candles=1, end="", more="lit: 4\n").replace("2026-03", "2026-04")
    files = {**proven(), "burns/fig-d.md": misuse, "burns/fig-e.md": burning}
    files["recipes/fig.md"] = files["recipes/fig.md"].replace("test_candles: 3", "test_candles: 5")
    found = fig(files)
    assert [one.id for one in every_candle(found)] == ["fig-a", "fig-b", "fig-c", "fig-e"]


# Mutants of verdicts/judge.py that no test can tell apart from it:
# - `_burned` that works out `by_date` without a stated `spec` too: it is then the same as `stated`.
