"""What a record leaves unsaid, or contradicts, holds its make-up until it is said.

Each case is a fourth candle beside three that passed: a failing reading that was taken out of its
record would look like this.
"""

from datetime import date
from typing import Any

import pytest

from handbook_builder.verdicts.approval import Product
from tests.records_in_text import (
    DAY,
    FULL_CYCLE,
    RECIPE,
    STUDIO,
    VESSEL,
    burn,
    proven,
    whole_life,
)
from tests.verdicts.told import codes, judged, told, without

END = "{how: went_out, left: 4.0 g, vessel: sound, tilt: steady, cycles: 4}"
MISUSE = "as: misuse\nhow: moved\n"
VOID = "void: {why: it fell over, by: the maker, on: 2026-04-01}\n"


def fourth(**parts: Any) -> str:  # noqa: ANN401
    """Return candle D, poured alone a day after the three that passed."""
    parts = {"cycles": whole_life(3), **parts}
    return burn("D", candles=1, **parts).replace("on: 2026-03-01", "on: 2026-03-02")


def beside(text: str, day: date = DAY, **more: str) -> Product:
    """Return the verdict on the proven recipe with candle D beside it."""
    files = {**proven(), "burns/fig-d.md": text, **more}
    return judged(files, day).products["fig"]


def doubts(text: str, day: date = DAY, **more: str) -> list[tuple[str, int, dict[str, Any]]]:
    """Return what holds the recipe: each doubt with its line and what it says of candle D."""
    found = beside(text, day, **more)
    assert all(one.code == "missing_candle" for one in found.missing)
    assert found.status == ("held" if found.missing else "approved")
    why = [told([one.details["why"]])[0] for one in found.missing]  # type: ignore[list-item]
    for _, _, details in why:
        assert (details.pop("burn"), details.pop("candle")) == ("fig-d", "D")
    return why


def house(protocol: str) -> dict[str, str]:
    """Return the files of a protocol of the studio's own."""
    studio = STUDIO.replace("default", "house")
    return {"studio.md": studio, "protocols/house.md": f"---\n{protocol}---\n"}


def lacking(index: int, reading: str, said: str = "") -> list[str]:
    """Return a whole life without one reading of one cycle."""
    life = whole_life(3)
    life[index] = without(life[index], reading)
    if said:
        life[index] = life[index].replace("}", f", unread: [{said}]}}")
    return life


def test_a_fourth_candle_that_says_all_holds_nothing() -> None:
    """Whether it has ended, still burns, or was not lit yet."""
    assert doubts(fourth()) == []
    assert doubts(fourth(cycles=whole_life(3)[:2], end="")) == []
    assert doubts(fourth(cycles=[], end="")) == []


# --- A reading that is due ---

FULL = ("before", "after", "burned", "pool", "flame", "wall", "after_smoke")
LAST = ("before", "after", "burned", "flame")


@pytest.mark.parametrize(
    ("index", "reading"), [*((1, one) for one in FULL), *((3, one) for one in LAST)]
)
def test_a_deleted_reading_holds_and_one_said_to_be_unread_does_not(
    index: int, reading: str
) -> None:
    """It might have been the one that failed; what nobody read is a gap of its candle alone."""
    line = 15 + index
    assert doubts(fourth(cycles=lacking(index, reading))) == [
        ("reading_unsaid", line, {"cycle": index + 1, "reading": (reading,)})
    ]
    said = fourth(cycles=lacking(index, reading, reading))
    assert doubts(said) == []
    candle = judged({**proven(), "burns/fig-d.md": said}).burns["fig-d"].candle
    assert candle.verdict == "incomplete"
    assert codes(candle.gaps)[0] == "reading_missing"


def test_another_reading_said_to_be_unread_says_nothing_of_this_one() -> None:
    """Each by its own word."""
    assert [code for code, *_ in doubts(fourth(cycles=lacking(1, "wall", "pool")))] == [
        "reading_unsaid"
    ]


def test_a_cycle_is_told_once_with_all_that_it_lacks() -> None:
    """And each cycle for itself."""
    bare = ["{on: 2026-03-16, unread: [pool]}", "{on: 2026-03-17}"]
    due = ("before", "after", "burned", "flame", "wall", "after_smoke")
    assert doubts(fourth(cycles=bare, end="")) == [
        ("reading_unsaid", 15, {"cycle": 1, "reading": due}),
        ("reading_unsaid", 16, {"cycle": 2, "reading": ("before", "after", "burned", "pool",
                                                         "flame", "wall", "after_smoke")}),
    ]  # fmt: skip


def test_what_is_not_due_may_be_left_out() -> None:
    """Depth is watched only; the pool and the wall of the last cycle are those of an end."""
    assert doubts(fourth(cycles=lacking(1, "depth"))) == []
    assert doubts(fourth(cycles=[*whole_life(3)[:3], whole_life(3)[3]])) == []


def test_a_last_cycle_without_an_end_is_a_full_one() -> None:
    """A candle that still burns owes every reading."""
    life = [*whole_life(3)[:1], without(whole_life(3)[1], "wall")]
    assert doubts(fourth(cycles=life, end="")) == [
        ("reading_unsaid", 16, {"cycle": 2, "reading": ("wall",)})
    ]


def test_a_void_candle_is_asked_and_a_misused_one_is_not() -> None:
    """To set a candle aside takes no reading out of it; misuse is never judged by its readings."""
    life = lacking(1, "flame")
    assert [code for code, *_ in doubts(fourth(cycles=life, more=VOID))] == ["reading_unsaid"]
    assert doubts(fourth(cycles=life, more=MISUSE)) == []


def test_whoever_shares_the_evidence_is_held_too() -> None:
    """A recipe of the same candle under another name."""
    gift = {"recipes/gift.md": RECIPE.replace("Fig", "Fig, as a gift")}
    files = {**proven(), **gift, "burns/fig-d.md": fourth(cycles=lacking(1, "flame"))}
    assert {one.status.value for one in judged(files).products.values()} == {"held"}


def test_a_candle_of_another_make_up_holds_its_recipe_all_the_same() -> None:
    """It might have been of this one: what it was made of can be mended as easily."""
    text = fourth(cycles=lacking(1, "flame"), oil="4.0 g", wax="104.0 g")
    assert [code for code, *_ in doubts(text)] == ["reading_unsaid"]


# --- Tilt and the state at the end ---


def test_a_deleted_tilt_holds_and_one_said_to_be_untried_does_not() -> None:
    """Before its first light: `fell` there fails."""
    text = fourth()
    assert doubts(text.replace("  tilt: steady\n", "")) == [("tilt_unsaid", 3, {})]
    untried = text.replace("  tilt: steady\n", "  tilt: untried\n")
    assert doubts(untried) == []
    candle = judged({**proven(), "burns/fig-d.md": untried}).burns["fig-d"].candle
    assert (candle.verdict, codes(candle.gaps)) == ("incomplete", ["tilt_missing"])


def test_a_tilt_is_asked_of_what_was_lit_where_the_protocol_needs_it() -> None:
    """A candle that still cures is tilted before it is lit."""
    unlit = fourth(cycles=[], end="").replace("  tilt: steady\n", "")
    assert doubts(unlit) == []
    needs = house("needs: [before, after, burned, pool, flame, wall, cycles]\n")
    assert doubts(fourth().replace("  tilt: steady\n", ""), **needs) == []
    misuse = fourth(more=MISUSE).replace("  tilt: steady\n", "")
    assert doubts(misuse) == []


@pytest.mark.parametrize(
    ("key", "was", "said", "gap"),
    [
        ("vessel", "sound", "unseen", "end_vessel_missing"),
        ("tilt", "steady", "untried", "end_tilt_missing"),
    ],
)
def test_a_deleted_state_holds_and_one_that_is_said_not_to_be_known_does_not(
    key: str, was: str, said: str, gap: str
) -> None:
    """It might have cracked, or fallen; a word that nobody looked is a gap of its candle alone."""
    text = fourth(end=END)
    gone = text.replace(f", {key}: {was}", "")
    assert gone != text
    assert doubts(gone) == [("end_state_unsaid", 19, {"key": key})]
    known = text.replace(f", {key}: {was}", f", {key}: {said}")
    assert doubts(known) == []
    candle = judged({**proven(), "burns/fig-d.md": known}).burns["fig-d"].candle
    assert (candle.verdict, codes(candle.gaps)) == ("incomplete", [gap])


def test_an_end_that_says_neither_is_told_twice() -> None:
    """Once a key, also of a candle set aside."""
    text = fourth(end="{how: went_out, left: 4.0 g, cycles: 4}", more=VOID)
    assert [details["key"] for _, _, details in doubts(text)] == ["vessel", "tilt"]


def test_a_misused_candle_says_how_its_vessel_came_through() -> None:
    """A cracked vessel fails it like any other; how it stood does not matter then."""
    text = fourth(end="{how: went_out}", more=MISUSE)
    assert doubts(text) == [("end_state_unsaid", 19, {"key": "vessel"})]
    assert doubts(fourth(end="{how: went_out, vessel: unseen}", more=MISUSE)) == []


# --- Cycles and ends ---


def test_an_end_that_does_not_count_the_cycles_holds() -> None:
    """Any of them could be gone; a protocol that does not need the count does not ask."""
    text = fourth(end=END.replace(", cycles: 4", ""))
    assert doubts(text) == [("count_missing", 19, {"found": 4})]
    assert doubts(fourth(end=END.replace(", cycles: 4", ""), more=MISUSE)) == []
    needs = house("needs: [before, after, burned, pool, flame, wall, tilt]\n")
    assert doubts(text, **needs) == []


@pytest.mark.parametrize(("lit", "cut"), [(1, True), (2, False), (3, True)])
def test_a_cycle_deleted_from_a_candle_that_still_burns(lit: int, *, cut: bool) -> None:
    """`lit` counts them while there is no end to do it."""
    text = fourth(cycles=whole_life(3)[:2], end="", more=f"lit: {lit}\n")
    expected = [("record_cut", 19, {"stated": lit, "found": 2})] if cut else []
    assert doubts(text) == expected


def test_both_counts_are_held_to_the_cycles() -> None:
    """Of the end, or of how often it was lit; of a misuse burn as well."""
    text = fourth(end=END.replace("4}", "5}"))
    assert doubts(text) == [("record_cut", 19, {"stated": 5, "found": 4})]
    burns_on = whole_life(3)[:3]
    assert doubts(fourth(cycles=burns_on, end="", more="lit: 6\n")) == [
        ("record_cut", 20, {"stated": 6, "found": 3})
    ]
    assert doubts(fourth(cycles=burns_on, end="", more="lit: 3\n")) == []
    assert doubts(fourth(cycles=[], end="", more="lit: 1\n")) == [
        ("record_cut", 17, {"stated": 1, "found": 0})
    ]
    cut = doubts(fourth(cycles=burns_on, end="", more=f"lit: 6\n{MISUSE}"))
    assert [(code, details) for code, _, details in cut] == [
        ("record_cut", {"stated": 6, "found": 3})
    ]


def down_to(after: str, trimmed: str = "") -> list[str]:
    """Return four full cycles from 402.1 g down to what the last weighing says."""
    full = whole_life(3)[:3]
    last = (FULL_CYCLE % (19, 324.1, 0.0)).replace("after: 0.0 g", f"after: {after}{trimmed}")
    return [*full, last]


@pytest.mark.parametrize(
    ("after", "trimmed", "is_cut"),
    # Of 108 g, 5.4 g are a twentieth: 402.1 g down to 299.5 g are 102.6 g burned and 5.4 g left.
    [
        ("299.5 g", "", True),
        ("299.6 g", "", False),
        ("297.1 g", "", True),
        ("299.4 g", ", trimmed: 0.1 g", True),
        ("299.4 g", ", trimmed: 0.2 g", False),
    ],
)
def test_an_end_deleted_from_a_candle_that_is_nearly_empty(
    after: str, trimmed: str, *, is_cut: bool
) -> None:
    """Its vessel may have cracked: its last cycle was a full one, but little is left of it."""
    text = fourth(cycles=down_to(after, trimmed), end="")
    assert [(code, line) for code, line, _ in doubts(text)] == (
        [("end_unsaid", 18)] if is_cut else []
    )
    misused = doubts(fourth(cycles=down_to(after, trimmed), end="", more=MISUSE))
    assert [code for code, *_ in misused] == (["end_unsaid"] if is_cut else [])


def test_what_was_cut_before_the_first_weight_burned_no_wax() -> None:
    """It was never in it."""
    life = down_to("299.5 g")
    life[0] = life[0].replace("before: 402.1 g", "before: 402.1 g, trimmed: 1 g")
    assert [code for code, *_ in doubts(fourth(cycles=life, end=""))] == ["end_unsaid"]
    life[1] = life[1].replace("burned: 4 h", "burned: 4 h, trimmed: 0.1 g")
    assert doubts(fourth(cycles=life, end="")) == []


def test_without_its_first_or_last_weight_nothing_is_known_of_what_is_left() -> None:
    """That the weight is missing holds it by itself."""
    for index, reading in ((0, "before"), (3, "after")):
        life = down_to("299.5 g")
        life[index] = without(life[index], reading)
        assert [code for code, *_ in doubts(fourth(cycles=life, end=""))] == ["reading_unsaid"]


def test_swapped_cycles_hold() -> None:
    """Their dates run backwards, on any day: a tunnel early on would be none later."""
    life = whole_life(3)
    life[1], life[2] = life[2], life[1]
    found = beside(fourth(cycles=life))
    assert [one.details["why"].code for one in found.missing] == [  # type: ignore[attr-defined]
        "dates_reversed"
    ]
    assert doubts(fourth(cycles=life)) == [("dates_reversed", 17, {"cycle": 3})]
    assert doubts(fourth(cycles=life), date(2026, 3, 20)) == [("dates_reversed", 17, {"cycle": 3})]
    assert doubts(fourth(cycles=life, more=MISUSE)) == []


@pytest.mark.parametrize(
    ("first", "second", "backwards"),
    [
        ("2026-03-16", "2026-03-16", False),
        ("2026-03-16 08:00", "2026-03-16 08:00", False),
        ("2026-03-16 08:01", "2026-03-16 08:00", True),
        ("2026-03-16 23:00", "2026-03-17 01:00", False),
        ("2026-03-16 23:00", "2026-03-16", False),
        ("2026-03-16", "2026-03-16 01:00", False),
        ("2026-03-17", "2026-03-16 23:00", True),
        ("2026-03-17", "2026-03-16", True),
    ],
)
def test_dates_that_run_backwards(first: str, second: str, *, backwards: bool) -> None:
    """By the time of day where both have one, else by the day."""
    life = whole_life(3)
    life[0] = life[0].replace("2026-03-16", first)
    life[1] = life[1].replace("2026-03-17", second)
    expected = [("dates_reversed", 16, {"cycle": 2})] if backwards else []
    assert doubts(fourth(cycles=life)) == expected


# --- The width ---


def test_a_width_mended_to_hide_a_tunnel_holds() -> None:
    """60 mm of 72 mm are a tunnel and of 62 mm a full pool; deleted, the vessel's own holds."""
    life = [one.replace("pool: 70 mm", "pool: 60 mm") for one in whole_life(3)]
    assert beside(fourth(cycles=life)).status == "failed"
    mended = fourth(cycles=life).replace("inside_diameter: 72 mm", "inside_diameter: 62 mm")
    assert doubts(mended) == [("width_in_doubt", 10, {"measured_mm": 62.0, "inside_mm": 72.0})]
    deleted = fourth(cycles=life).replace("  inside_diameter: 72 mm\n", "")
    assert beside(deleted).status == "failed"


@pytest.mark.parametrize(
    ("width", "doubted"),
    # 2 % of 72 mm is 1.44 mm.
    [("73.44", False), ("73.45", True), ("70.56", False), ("70.55", True)],
)
def test_how_far_a_width_may_be_off(width: str, *, doubted: bool) -> None:
    """To the last hundredth."""
    text = fourth().replace("inside_diameter: 72 mm", f"inside_diameter: {width} mm")
    assert [code for code, *_ in doubts(text)] == (["width_in_doubt"] if doubted else [])


def test_a_width_that_is_unsaid_holds() -> None:
    """Lit or not, void or not; of a misuse burn it is not asked."""
    for parts in ({}, {"cycles": [], "end": ""}, {"more": VOID}):
        text = fourth(**parts).replace("  inside_diameter: 72 mm\n", "")
        assert doubts(text) == [("width_in_doubt", 3, {"measured": None, "inside_mm": 72.0})]
    assert doubts(fourth(more=MISUSE).replace("  inside_diameter: 72 mm\n", "")) == []


def test_a_vessel_mended_to_hide_a_tunnel_holds_all_that_was_burned_in_it() -> None:
    """Each of its candles keeps its own width."""
    vessel = {"vessels/tumbler.md": VESSEL.replace("72 mm", "62 mm")}
    found = judged({**proven(), **vessel}).products["fig"]
    why = [one.details["why"] for one in found.missing if one.code == "missing_candle"]
    assert [one.code for one in why] == ["width_in_doubt"] * 3  # type: ignore[attr-defined]


# --- From which day on ---

SPRING = {"cycles": [one.replace("2026-03-1", "2026-04-1") for one in whole_life(3)]}


def poured_late(text: str) -> str:
    """Return candle D as poured on 2 April and burned from the 16th to the 19th."""
    return text.replace("on: 2026-03-02", "on: 2026-04-02")


@pytest.mark.parametrize(
    ("old", "new", "code", "seen"),
    [
        (", cycles: 4}", ", cycles: 5}", "record_cut", 2),
        ("2026-04-18", "2026-04-16", "dates_reversed", 2),
        ("  inside_diameter: 72 mm\n", "", "width_in_doubt", 2),
        ("  tilt: steady\n", "", "tilt_unsaid", 16),
        ("before: 350.1 g, ", "", "reading_unsaid", 18),
        (", vessel: sound", "", "end_state_unsaid", 19),
        (", tilt: steady, cycles", ", cycles", "end_state_unsaid", 19),
        (", cycles: 4", "", "count_missing", 19),
    ],
)
def test_a_doubt_is_cast_from_the_day_on_which_it_is_seen(
    old: str, new: str, code: str, seen: int
) -> None:
    """A later candle casts none on an older batch; of its record as a whole, from its pouring."""
    text = poured_late(fourth(end=END, **SPRING))
    assert old in text
    text = text.replace(old, new)
    assert doubts(text, date(2026, 4, seen - 1)) == []
    assert [one for one, *_ in doubts(text, date(2026, 4, seen))] == [code]
    assert [one for one, *_ in doubts(text)] == [code]


def test_a_candle_that_burns_must_say_how_often_it_was_lit() -> None:
    """While its count is asked for at all, and until it has ended."""
    text = fourth(cycles=whole_life(3)[:2], end="").replace("lit: 2\n", "")
    (told,) = doubts(text)
    assert (told[0], told[2]) == ("lit_unsaid", {"found": 2})
    assert doubts(fourth(cycles=[], end="")) == []
    assert doubts(fourth(cycles=whole_life(3)[:2], end="")) == []


@pytest.mark.parametrize(("first", "told"), [("402.1 g", []), ("460.0 g", ["mass_in_doubt"])])
def test_a_first_weight_of_another_candle_holds(first: str, told: list[str]) -> None:
    """A candle that fails may not be made another's by the masses that it was poured with."""
    life = whole_life(3)[:1]
    life[0] = life[0].replace("before: 402.1 g", f"before: {first}")
    assert first in life[0]
    vessel = VESSEL.replace("use:", "empty_mass: 294.1 g\nuse:")
    said = doubts(fourth(cycles=life, end=""), **{"vessels/tumbler.md": vessel})
    assert [code for code, *_ in said] == told
    weighed = {"before_g": float(first.split(maxsplit=1)[0]), "due_g": pytest.approx(294.1 + 108.0)}
    assert [details for *_, details in said] == [weighed] * len(told)


def test_a_doubt_about_another_load_holds_nothing() -> None:
    """It is held against what the candle would speak about, had it failed: not against 4 %."""
    weak = RECIPE.replace("8 %", "4 %").replace("as filed", "1")
    doubtful = burn("A", candles=1, oil="4.0 g", cycles=whole_life(3)[:2], end="", more="lit: 3\n")
    other = doubtful.replace("recipe: fig\n", "recipe: weak\n")
    files = {**proven(), "recipes/weak.md": weak, "burns/weak-a.md": other}
    found = judged(files).products
    assert "missing_candle" in codes(found["weak"].missing)
    assert found["fig"].status == "approved"
