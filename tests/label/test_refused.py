"""What keeps a candle from a label: each reason by its own studio, and in words."""

from datetime import date

import pytest

from handbook_builder.derived.label.made import Asked, Made, label_for
from handbook_builder.derived.label.refusal import Refusal, refusals
from handbook_builder.pages.products.label_words import refusal_said
from handbook_builder.verdicts.approval import Status
from handbook_builder.verdicts.batches import BatchState
from tests.label.kit import (
    ADDRESSED,
    AQUATIC,
    HARMLESS,
    NAMED,
    PACKED,
    PANELLED,
    SENSITISING,
    UNKNOWN,
    asked,
    desk_of,
    made,
    shipped,
    studio,
    told,
)
from tests.records_in_text import DAY, FULL_CYCLE, OIL, burn, whole_life

MARKETS = ("eu", "gb", "us")
INCIDENT = "---\nnumber: 1\non: 2026-04-20\nabout: recipes/fig\nwhat: smoke\n---\n"
HOT = [*whole_life()[:2], FULL_CYCLE.replace("52 degC", "90 degC") % (18, 348.0, 322.0)]
# One studio for each word that is not "approved"; each differs in one thing from one that is.
NOT_APPROVED = {
    Status.RETIRED: {
        "recipes/fig.md": PACKED.replace("fill:", "retired: 2026-04-01\nfill:"),
    },
    Status.SUSPENDED: {"incidents/one.md": INCIDENT},
    Status.FAILED: {"burns/fig-c.md": burn("C", cycles=HOT)},
    Status.HELD: {"fragrances/fig-oil.md": SENSITISING.replace("max_use: 9 %\n", "")},
    Status.IN_TEST: {"burns/fig-c.md": burn("C", cycles=whole_life(2)[:2], end="")},
    Status.UNTESTED: {"recipes/fig.md": PACKED.replace("fig-oil: 8 %", "fig-oil: 6 %")},
}


def test_every_word_is_asked_for() -> None:
    """No word for a product is left out here."""
    assert set(NOT_APPROVED) == set(Status) - {Status.APPROVED}


@pytest.mark.parametrize("market", MARKETS)
@pytest.mark.parametrize("status", NOT_APPROVED, ids=str)
def test_only_an_approved_product_has_a_label(status: Status, market: str) -> None:
    """On no market, and the reason is told with the word that the product has."""
    desk = desk_of({**studio(), **NOT_APPROVED[status]})
    assert desk.judged.products["fig"].status is status
    assert asked(desk, market) == ["not_approved"]
    word = str(status).replace("_", " ")
    assert told(desk, market) == [
        (
            f"It is not approved ({word}). Only an approved product gets a label; a test candle "
            "gets a sticker."
        )
    ]


@pytest.mark.parametrize("market", MARKETS)
def test_an_approved_one_has(market: str) -> None:
    """The same studio without that one thing."""
    assert isinstance(asked(desk_of(studio()), market), Made)


def test_a_product_is_labelled_as_of_the_day() -> None:
    """The day before its last cycle it was not approved yet."""
    assert asked(desk_of(studio(), date(2026, 3, 18))) == ["not_approved"]
    assert isinstance(asked(desk_of(studio(), date(2026, 3, 19))), Made)


@pytest.mark.parametrize(
    ("oil", "missing"),
    [
        (UNKNOWN, "the hazards of tea absolute are not known."),
        (
            OIL,
            "how many components the sheet of fig oil lists is not on record (sheet_lists).",
        ),
        (
            SENSITISING.replace("sheet_lists: 1", "sheet_lists: 2"),
            "of fig oil not every component of its sheet is on record (1/2).",
        ),
        (
            SENSITISING.replace("[Skin Sens. 1B]", "[Aquatic Acute 1]"),
            "linalool has no acute M-factor.",
        ),
    ],
)
def test_what_is_not_known_is_never_no_hazard(oil: str, missing: str) -> None:
    """The product is approved, and gets no label for a market that asks for its hazards."""
    desk = desk_of(studio(oil))
    assert desk.judged.products["fig"].status is Status.APPROVED
    for market in ("eu", "gb"):
        assert asked(desk, market) == ["hazards_unknown"]
        assert told(desk, market) == [
            f"Its hazards are not known whole, so nobody can say that it has none: {missing}"
        ]


def test_hazards_that_nobody_reckoned_are_unknown() -> None:
    """As the rule stands alone, without a result in the first place."""
    desk = desk_of(studio())
    (refusal,) = refusals(desk.account, "fig", "eu", None)
    assert refusal == Refusal("hazards_unknown", {"notes": ()})
    assert refusals(desk.account, "fig", "us", None) == ()


@pytest.mark.parametrize("market", MARKETS)
def test_without_an_address(market: str) -> None:
    """A label says who made the candle, and where."""
    files = studio() | {"studio.md": ADDRESSED.replace("address:", "#").replace("[eu]", "[us]")}
    desk = desk_of(files)
    assert asked(desk, market) == ["no_address"]
    assert told(desk, market) == [
        "studio.md has no 'address'. A label names who made the candle, and where."
    ]


@pytest.mark.parametrize(
    ("oil", "market", "refused"),
    [
        (SENSITISING, "eu", ["no_contact"]),
        (SENSITISING, "gb", ["no_contact"]),
        (AQUATIC, "gb", ["no_contact"]),
        (SENSITISING, "us", []),
        (NAMED, "eu", []),  # only named: not classified
        (HARMLESS, "eu", []),
    ],
)
def test_without_a_way_to_reach_the_maker(oil: str, market: str, refused: list[str]) -> None:
    """CLP Art. 17(1)(a) asks for a telephone number; from memory, unconfirmed (M)."""
    files = studio(oil) | {"studio.md": ADDRESSED.replace("contact:", "#")}
    desk = desk_of(files)
    found = asked(desk, market)
    assert (found if isinstance(found, list) else []) == refused
    if refused:
        assert told(desk, market)[0].startswith("studio.md has no 'contact'. A label with hazards")


def test_without_a_panel() -> None:
    """Neither the vessel nor anything of the packaging has one."""
    files = studio() | {
        "vessels/tumbler.md": PANELLED.replace("label_panel:", "#"),
        "packaging/caution.md": "---\nform: caution_label\n---\n",
    }
    desk = desk_of(files)
    assert asked(desk) == ["no_panel"]
    assert told(desk) == [
        (
            "No panel to print is on record. Give the vessel a 'label_panel', or something of its "
            "packaging a 'panel'."
        )
    ]


def test_a_vessel_of_unknown_height_in_the_united_states() -> None:
    """16 CFR 500.21 measures the net weight by the display panel; unmeasured is no small one."""
    files = studio() | {"vessels/tumbler.md": PANELLED.replace("inside_height:", "#")}
    desk = desk_of(files)
    assert asked(desk, "us") == ["no_display_area"]
    assert told(desk, "us") == [
        (
            "How large the net weight must be in the United States goes by the size of the vessel, "
            "and vessels/tumbler has no 'inside_height'."
        )
    ]
    assert isinstance(asked(desk, "eu"), Made)


def test_a_language_that_nobody_wrote() -> None:
    """It is named, and so is the file to write; what the other lacks is told beside it."""
    desk = desk_of(studio(), catalogues={"nl": None})
    assert asked(desk, "eu", "nl", "en") == ["no_catalogue"]
    assert told(desk, "eu", "nl", "en") == [
        (
            "There are no statements in the language 'nl'. Copy site_templates/statements/en.yml "
            "to nl.yml and fill it in."
        )
    ]


def test_statements_that_a_language_lacks_are_listed_by_name() -> None:
    """What is due and not there, of the law's statements and of the cautions; each once."""
    cut = [
        line
        for line in shipped("de").splitlines(keepends=True)
        if not line.startswith(("  H317:", "  P280:", "  ufi:", "  trim:"))
    ]
    desk = desk_of(studio(), catalogues={"de": "".join(cut)})
    assert asked(desk, "eu", "en", "de") == ["statements_lacking"]
    (said,) = told(desk, "eu", "en", "de")
    assert "not in Deutsch here: trim, ufi, H317, P280. Write each" in said
    # For the USA none of the law's statements is due, and no identifier.
    (said,) = told(desk, "us", "de")
    assert "not in Deutsch here: trim. Write" in said


@pytest.mark.parametrize(
    ("oil", "market", "gone"),
    [
        (SENSITISING, "us", "net_us"),
        (SENSITISING, "us", "heading"),
        (SENSITISING, "eu", "net"),
        (NAMED, "gb", "EUH208"),
        (SENSITISING, "gb", "P501"),
        (SENSITISING, "gb", "cracked"),
        (SENSITISING, "gb", "stop_at"),
    ],
)
def test_every_sentence_on_a_label_is_asked_for_first(oil: str, market: str, gone: str) -> None:
    """Nothing is left out of a label because a catalogue does not say it."""
    text = "".join(
        line
        for line in shipped("en").splitlines(keepends=True)
        if not line.startswith(f"  {gone}:")
    )
    desk = desk_of(studio(oil), catalogues={"en": text})
    assert asked(desk, market, "en") == ["statements_lacking"]
    assert f" here: {gone}. " in told(desk, market, "en")[0]


def test_what_only_some_labels_say_is_asked_of_those() -> None:
    """A batch, and a candle without scent."""
    text = "".join(
        line
        for line in shipped("en").splitlines(keepends=True)
        if not line.startswith(("  batch:", "  unscented:"))
    )
    desk = desk_of(studio() | {"batches/one.md": _batch()}, catalogues={"en": text})
    assert isinstance(asked(desk, "eu", "en"), Made)
    assert "here: batch. " in told(desk, "eu", "en", batch="one")[0]
    plain = {
        **_without_oil(),
        "fragrances/fig-oil.md": HARMLESS,
    }
    assert "here: unscented. " in told(desk_of(plain, catalogues={"en": text}), "eu", "en")[0]


def _without_oil() -> dict[str, str]:
    """Return a studio whose candle is of wax alone."""
    burned = {
        f"burns/fig-{letter.lower()}.md": burn(letter, wax="108.0 g").replace(
            "fragrance: {fig-oil: 8.0 g}", "fragrance: none"
        )
        for letter in "ABC"
    }
    return studio() | burned | {"recipes/fig.md": PACKED.replace("{fig-oil: 8 %}", "none")}


def _batch(recipe: str = "fig", more: str = "", wax: str = "1000 g") -> str:
    return (
        f"---\nrecipe: {recipe}\non: 2026-04-01\nmade: 10\nby: wren\nlots: {{}}\n"
        f"weighed: {{waxes/soy: {wax}, fragrances/fig-oil: 80 g}}\n{more}---\n"
    )


def test_a_batch_that_is_as_proven_has_a_label_with_its_name() -> None:
    """Also while it cures."""
    for day, state in (
        (date(2026, 4, 2), BatchState.CURING), (DAY, BatchState.AS_PROVEN),
    ):  # fmt: skip
        desk = desk_of(studio() | {"batches/one.md": _batch()}, day)
        assert desk.account.batches["one"].verdict.state is state
        label = made(desk, "eu", "en", batch="one")
        assert any("Batch one" in line for line in label.caution.lines())


def _of_former_make_up() -> dict[str, str]:
    """Return a batch that was poured as the candle is now, and a recipe that was changed since."""
    code = desk_of(studio()).account.products["fig"].code
    return {
        "batches/one.md": _batch(more=f"code: {code}\n"),
        "recipes/fig.md": PACKED.replace("fig-oil: 8 %", "fig-oil: 6 %"),
    }


CRACKED = burn("D", candles=1, end="{how: went_out, vessel: cracked, tilt: steady}")
CLOSE = CRACKED.replace("fig-oil: 8.0 g", "fig-oil: 8.2 g")
ABOUT_THE_BATCH = INCIDENT.replace("recipes/fig", "batches/one")
# It was open, and known, on the day of the batch.
CLOSED_SINCE = INCIDENT.replace("2026-04-20", "2026-03-30").replace(
    "what:", "closed: {on: 2026-04-15, finding: fine}\nwhat:"
)
NOT_AS_PROVEN = {
    BatchState.SUSPENDED: (
        {"batches/one.md": _batch(), "incidents/one.md": ABOUT_THE_BATCH},
        "suspended",
    ),
    BatchState.POURED_AGAINST: (
        {"batches/one.md": _batch(), "incidents/one.md": CLOSED_SINCE},
        "poured against an incident",
    ),
    BatchState.DISPROVEN: ({"batches/one.md": _batch(), "burns/fig-d.md": CLOSE}, "disproven"),
    BatchState.FORMER: (_of_former_make_up(), "former make-up"),
    BatchState.UNLIKE: ({"batches/one.md": _batch(wax="1200 g")}, "not as proven"),
    BatchState.UNWEIGHED: (
        {"batches/one.md": _batch().replace("weighed:", "#")},
        "not weighed",
    ),
}


def test_every_state_of_a_batch_is_asked_for() -> None:
    """None is left out here."""
    may = {BatchState.CURING, BatchState.AS_PROVEN}
    assert set(NOT_AS_PROVEN) == set(BatchState) - may


@pytest.mark.parametrize("state", NOT_AS_PROVEN, ids=str)
def test_a_batch_that_is_not_as_proven_has_none(state: BatchState) -> None:
    """Whatever its product is; the word and what it means are told."""
    files, word = NOT_AS_PROVEN[state]
    desk = desk_of(studio() | files)
    assert desk.account.batches["one"].verdict.state is state
    found = asked(desk, "eu", "en", batch="one")
    assert isinstance(found, list)
    assert found[-1] == "batch_not_as_proven"
    said = told(desk, "eu", "en", batch="one")[-1]
    assert said.startswith(f"Batch one: {word}. ")
    assert len(said) > 50


def test_a_batch_of_another_recipe_has_none() -> None:
    """Its label would name a candle that it is not."""
    files = studio() | {
        "recipes/moss.md": PACKED.replace("title: Fig", "title: Moss"),
        "batches/one.md": _batch("moss"),
    }
    desk = desk_of(files)
    assert asked(desk, "eu", "en", batch="one") == ["batch_of_another"]
    assert told(desk, "eu", "en", batch="one") == ["Batch one is of another recipe: moss."]


def test_a_batch_of_the_former_make_of_a_vessel_has_none() -> None:
    """Candle and batch are both as proven: only the code that the label would bear is another."""
    newer = {f"burns/fig-{letter.lower()}.md": _newer(letter) for letter in "DEF"}
    vessel = PANELLED.replace("use:", "spec: 2\nspec_since: 2026-04-06\nuse:")
    vessel = vessel.replace("on: 2026-01-05,", "on: 2026-01-05, spec: 2,")
    files = {**studio(), **newer, "vessels/tumbler.md": vessel, "batches/one.md": _batch()}
    desk = desk_of(files, date(2026, 6, 1))
    assert desk.judged.products["fig"].status is Status.APPROVED
    assert desk.account.batches["one"].verdict.state is BatchState.AS_PROVEN
    assert asked(desk, "eu", "en", batch="one") == ["batch_of_former_make"]
    (said,) = told(desk, "eu", "en", batch="one")
    now = desk.account.products["fig"].code
    assert said.startswith("Batch one was poured before an item of it was changed by its maker. ")
    assert said.endswith(f"the label would be of {now}.")
    assert said.count(now) == 1
    assert isinstance(asked(desk, "eu", "en"), Made)


def _newer(letter: str) -> str:
    """Return a test candle of the vessel's second make, poured and burned a month later."""
    cycles = whole_life(ord(letter) - ord("A"))
    record = burn(letter, cycles=cycles, made="  spec: {vessels/tumbler: 2}\n")
    return record.replace("2026-03-01", "2026-04-08").replace("2026-03-1", "2026-05-1")


def test_a_batch_that_was_weighed_too_light_has_none() -> None:
    """The label would claim 108 g, and not one of the ten candles holds as much.

    They are within the tolerance of the fill, so that they are the candle that was proven.
    """
    masses = ", ".join(f"106.{tenth} g" for tenth in range(10))
    light = f"net: [{masses}]\n"
    desk = desk_of(studio() | {"batches/one.md": _batch(more=light)})
    for market in ("us", "eu"):
        assert asked(desk, market, "en", batch="one") == ["batch_too_light"]
    assert told(desk, "eu", "en", batch="one") == [
        "Batch one was weighed, and is too light for the net weight that the label would claim."
    ]
    right = light.replace("106.", "108.")
    desk = desk_of(studio() | {"batches/one.md": _batch(more=right)})
    assert isinstance(asked(desk, "eu", "en", batch="one"), Made)


def test_everything_that_is_against_it_is_told_at_once() -> None:
    """The gravest first: nobody mends one thing to be told the next."""
    files = studio(UNKNOWN) | {
        "studio.md": ADDRESSED.replace("address:", "#"),
        "incidents/one.md": INCIDENT,
        "vessels/tumbler.md": PANELLED.replace("label_panel:", "#"),
        "packaging/caution.md": "---\nform: box\n---\n",
    }
    assert asked(desk_of(files), "eu", "xx") == [
        "not_approved",
        "hazards_unknown",
        "no_address",
        "no_catalogue",
        "no_panel",
    ]


def test_every_reason_has_a_sentence() -> None:
    """And no sentence is there for a reason that nobody gives."""
    desk = desk_of(studio())
    given = {
        "not_approved", "hazards_unknown", "no_address", "no_contact", "batch_of_another",
        "batch_not_as_proven", "batch_of_former_make", "batch_too_light", "no_catalogue",
        "statements_lacking", "no_panel",
        "no_display_area", "too_small", "unprintable",
    }  # fmt: skip
    assert set(desk.words.phrases["pages"]["label"]["refused"]) == given


def test_a_letter_that_the_font_lacks() -> None:
    """It is named; a label with a gap would look finished."""
    recipe = PACKED.replace("title: Fig", "title: Fig \N{CJK UNIFIED IDEOGRAPH-706B}")
    desk = desk_of(studio() | {"recipes/fig.md": recipe})
    assert asked(desk, "eu", "en") == ["unprintable"]
    assert told(desk, "eu", "en") == ["The font has no letter for: \N{CJK UNIFIED IDEOGRAPH-706B}"]


def test_the_label_is_of_the_product_that_is_asked_for() -> None:
    """A recipe of the same candle under another name has a label with its own name."""
    files = studio() | {"recipes/moss.md": PACKED.replace("title: Fig", "title: Moss")}
    desk = desk_of(files)
    found = label_for(desk.account, desk.words, "moss", Asked("gb", ("en",)), desk.press)
    assert isinstance(found, Made)
    assert found.front is not None
    assert next(found.front.lines()) == "Moss"
    assert refusal_said(desk, Refusal("no_panel"))
