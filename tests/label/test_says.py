"""What a label says: by market, by hazard, in one language and in two."""

import re
from typing import Final

import pytest

from handbook_builder.derived.label.made import longest_cycle_h
from handbook_builder.labels.content import Role
from handbook_builder.labels.placed import Layout
from tests.label.kit import (
    AQUATIC,
    HARMLESS,
    LARGE,
    NAMED,
    PACKED,
    PANELLED,
    SENSITISING,
    asked,
    desk_of,
    made,
    studio,
    words_on,
)
from tests.records_in_text import FULL_CYCLE, burn

SIGNS: Final = [
    "warning", "within_sight", "from_children_and_pets", "from_what_burns", "trim",
]  # fmt: skip
# In the order of EN 15494:2019 as secondary sources tell it (S).
CAUTIONS: Final = (
    "Burn within sight. Keep away from things that catch fire. Keep away from children and pets. "
    "Burn no longer than 4 h at a time. Trim the wick to 6 mm before lighting. Stop when 12 mm of "
    "wax is left. Stand it on a level surface that heat does not harm, out of draughts."
)


def marks(face: Layout | None) -> list[str]:
    """Return the names of the drawings of a face."""
    return [mark.name.value for mark in face.marks] if face is not None else []


def of_role(face: Layout, role: Role) -> str:
    """Return the words of one role on a face."""
    words = " ".join(run.text for run in face.runs if run.role is role)
    return words.replace("\N{NO-BREAK SPACE}", " ")


def test_a_whole_label_for_the_european_union() -> None:
    """Every word of it, in its order."""
    desk = desk_of(studio())
    code = desk.account.products["fig"].code
    assert words_on(made(desk, "eu", "en")) == (
        f"Fig Fig Net weight 108 g Test studio {CAUTIONS} "
        "Do not light it when the vessel is cracked or chipped. Warning "
        "May cause an allergic skin reaction. Contains linalool. "
        "Keep out of reach of children. Wear protective gloves or eye protection. "
        "IF ON SKIN: Wash with plenty of water. "
        "If skin irritation or rash occurs: Get medical advice or attention. "
        "Take off contaminated clothing and wash it before reuse. "
        "Dispose of contents and container in accordance with local regulations. "
        f"UFI {code} Test studio, 1 Example Lane +00 000 000"
    )
    label = made(desk, "eu", "en")
    assert marks(label.front) == []
    assert marks(label.caution) == [*SIGNS, "GHS07"]
    assert (label.on, label.market, label.languages) == ("caution", "eu", ("en",))


@pytest.mark.parametrize("oil", [SENSITISING, NAMED, AQUATIC, HARMLESS])
def test_a_label_for_the_united_states_claims_no_hazards(oil: str) -> None:
    """WARNING behind its sign (ASTM F2058, read in its abstract, C), and no classes."""
    desk = desk_of(studio(oil))
    code = desk.account.products["fig"].code
    label = made(desk, "us")
    assert words_on(label) == (
        f"Fig Fig Net Wt 3.8 oz (108 g) Test studio WARNING {CAUTIONS} "
        "Do not light it when the vessel is cracked or chipped. "
        f"{code} Test studio, 1 Example Lane +00 000 000"
    )
    assert [mark for face in label.faces for mark in marks(face)] == ["warning"]
    assert not any(face.frames for face in label.faces)


def test_great_britain_has_the_hazards_and_no_field_for_an_identifier() -> None:
    """The identifier is asked for in the EU: CLP Annex VIII, from memory, unconfirmed (M)."""
    desk = desk_of(studio())
    label = made(desk, "gb")
    assert "UFI" not in words_on(label)
    assert not label.caution.frames
    assert "May cause an allergic skin reaction. Contains linalool." in words_on(label)
    (frame,) = made(desk, "eu").caution.frames
    assert frame.role is Role.UFI


@pytest.mark.parametrize(
    ("oil", "has_field"), [(SENSITISING, True), (AQUATIC, False), (NAMED, False), (HARMLESS, False)]
)
def test_the_identifier_is_for_hazards_to_health(oil: str, *, has_field: bool) -> None:
    """Of the environment alone none is due, nor of a name (CLP Art. 45, M)."""
    label = made(desk_of(studio(oil)), "eu")
    assert bool(label.caution.frames) is has_field
    assert ("UFI" in words_on(label)) is has_field


def test_an_oil_that_is_only_named() -> None:
    """EUH208 (CLP Annex II 2.8, C): no pictogram, no signal word, no advice."""
    label = made(desk_of(studio(NAMED)), "eu", "en")
    assert "Contains linalool. May produce an allergic reaction." in words_on(label)
    assert marks(label.caution) == SIGNS
    roles = {run.role for run in label.caution.runs}
    assert not roles & {Role.SIGNAL, Role.HAZARD, Role.PRECAUTION}


def test_a_hazard_without_a_signal_word() -> None:
    """Aquatic Chronic 3 has neither (CLP Annex I, Table 4.1.4, C), and no name is due for it."""
    label = made(desk_of(studio(AQUATIC)), "eu", "en")
    assert of_role(label.caution, Role.HAZARD) == (
        "Harmful to aquatic life with long lasting effects."
    )
    assert not of_role(label.caution, Role.SIGNAL)
    assert not of_role(label.caution, Role.CONTAINS)
    assert marks(label.caution) == SIGNS


def test_a_candle_without_hazards_says_nothing_of_them() -> None:
    """Every component of its sheet was looked at: there is none."""
    label = made(desk_of(studio(HARMLESS)), "eu", "en")
    roles = {run.role for run in label.caution.runs}
    assert roles == {Role.STATEMENT, Role.CODE, Role.ADDRESS}
    assert marks(label.caution) == SIGNS


def test_two_languages_on_one_label() -> None:
    """Each sentence in both, those that belong together beside each other; one net weight each."""
    desk = desk_of(studio())
    label = made(desk, "eu", "en", "de")
    words = words_on(label)
    assert "Net weight 108 g / Nettogewicht 108 g" in words
    assert of_role(label.caution, Role.SIGNAL) == "Warning / Achtung"
    assert of_role(label.caution, Role.HAZARD) == (
        "May cause an allergic skin reaction. Kann allergische Hautreaktionen verursachen."
    )
    assert of_role(label.caution, Role.CONTAINS) == "Contains linalool. Enthält linalool."
    assert of_role(label.caution, Role.UFI) == "UFI"  # the same in both, said once
    english, german = words.index("Burn within sight."), words.index("Nie unbeaufsichtigt brennen")
    assert english < german < words.index("Warning / Achtung")
    assert "Nicht länger als 4 h am Stück brennen lassen. Docht vor dem Anzünden auf 6 mm" in words
    assert made(desk, "eu", "de").front != label.front


def test_the_languages_of_a_market_are_the_studios() -> None:
    """English where nothing is stated; each once."""
    stated = studio() | {
        "studio.md": studio()["studio.md"].replace(
            "protocol:", "languages: {eu: [en, de, en], gb: de}\nprotocol:"
        )
    }
    desk = desk_of(stated)
    assert made(desk, "eu").languages == ("en", "de")
    assert made(desk, "gb").languages == ("de",)
    assert made(desk, "us").languages == ("en",)


def test_a_candle_without_oil_is_unscented() -> None:
    """It says so where the scent would stand; with two oils both stand there."""
    burned = {
        f"burns/fig-{letter.lower()}.md": burn(letter, wax="108.0 g").replace(
            "fragrance: {fig-oil: 8.0 g}", "fragrance: none"
        )
        for letter in "ABC"
    }
    bare = PACKED.replace("{fig-oil: 8 %}", "none")
    label = made(desk_of({**studio(), **burned, "recipes/fig.md": bare}), "eu", "en", "de")
    assert label.front is not None
    assert of_role(label.front, Role.SCENT) == "Unscented / Ohne Duft"


@pytest.mark.parametrize(
    ("material", "says", "silent"),
    [
        ("metal", "The metal gets hot.", "cracked"),
        ("ceramic", "cracked or chipped", "metal"),
        ("glass", "cracked or chipped", "metal"),
        ("stone", "out of draughts.", "cracked"),
    ],
)
def test_the_vessels_own_warnings(material: str, says: str, silent: str) -> None:
    """What can crack says so, and metal says that it gets hot."""
    files = studio() | {"vessels/tumbler.md": PANELLED.replace("glass", material)}
    words = of_role(made(desk_of(files), "eu", "en").caution, Role.STATEMENT)
    assert says in words
    assert silent not in words


def test_a_label_bears_batch_code_address_and_contact() -> None:
    """So that a buyer, a shop or an authority finds the very pour again."""
    batch = (
        "---\nrecipe: fig\non: 2026-04-01\nmade: 10\nby: wren\nlots: {}\n"
        "weighed: {waxes/soy: 1000 g, fragrances/fig-oil: 80 g}\n---\n"
    )
    desk = desk_of(studio() | {"batches/spring.md": batch})
    caution = made(desk, "eu", "en", "de", batch="spring").caution
    code = desk.account.products["fig"].code
    assert of_role(caution, Role.CODE) == f"{code} · Batch spring / Charge spring"
    assert of_role(caution, Role.ADDRESS) == "Test studio, 1 Example Lane +00 000 000"
    silent = studio(HARMLESS) | {"studio.md": studio()["studio.md"].replace("contact:", "#")}
    caution = made(desk_of(silent), "eu").caution
    assert of_role(caution, Role.ADDRESS) == "Test studio, 1 Example Lane"


def test_trim_and_stop_are_the_protocols_in_the_studios_units() -> None:
    """6 mm is 0.24 in, and 12 mm 0.47 in [X]."""
    for units, trim, stop in (
        ("us", "0.24 in (6 mm)", "0.47 in (12 mm)"),
        ("metric", "6 mm", "12 mm"),
    ):
        files = studio() | {
            "studio.md": studio()["studio.md"].replace("units: metric", f"units: {units}")
        }
        words = of_role(made(desk_of(files), "us").caution, Role.STATEMENT)
        assert f"Trim the wick to {trim} before" in words
        assert f"Stop when {stop} of wax" in words


def _cycles(longest: str) -> list[str]:
    """Return the cycles of a candle whose second one lasted so long."""
    full = [FULL_CYCLE % (16 + n, 400.0 - 26 * n, 374.0 - 26 * n) for n in range(3)]
    last = "{on: 2026-03-19, burned: 3 h 10 min, before: 322.0 g, after: 301.0 g, flame: 15 mm}"
    return [full[0], full[1].replace("4 h", longest), full[2].replace("4 h", "3 h 50 min"), last]


def _hours(*longest: str) -> str:
    """Return the burning time on the label of three candles with such cycles."""
    burns = {}
    for letter, each in zip("ABC", longest, strict=True):
        cycles = [
            one.replace("4 h", "3 h 50 min") if at != 1 else one
            for at, one in enumerate(_cycles(each))
        ]
        heavier = 0.7 * (ord(letter) - ord("A"))
        lines = [_heavier(one, heavier) for one in cycles]
        burns[f"burns/fig-{letter.lower()}.md"] = burn(letter, cycles=lines)
    words = of_role(made(desk_of({**studio(), **burns}), "us").caution, Role.STATEMENT)
    return words.partition("Burn no longer than ")[2].partition(" h at a time")[0]


def _heavier(cycle: str, more: float) -> str:
    """Return a cycle of a candle that is a little heavier: no two weigh alike."""
    for key in ("before", "after"):
        head, _, rest = cycle.partition(f"{key}: ")
        mass, _, tail = rest.partition(" g")
        cycle = f"{head}{key}: {float(mass) + more:.1f} g{tail}"
    return cycle


def test_the_burning_time_is_the_longest_that_every_candle_burned() -> None:
    """The least of the three longest cycles, in whole hours; what only one burned is no claim."""
    assert _hours("4 h", "4 h 10 min", "4 h 15 min") == "4"
    assert _hours("4 h 15 min", "3 h 55 min", "4 h 15 min") == "3"


def test_a_protocol_of_short_cycles() -> None:
    """Less than an hour is told to the tenth below, and never as no time at all."""
    files = studio() | {
        "studio.md": studio()["studio.md"].replace("protocol: default", "protocol: own"),
        "protocols/own.md": "---\ncycle: 40 min\n---\n",
    }
    short = {path: text for path, text in files.items() if not path.startswith("burns/")}
    desk = desk_of(short)
    assert longest_cycle_h(desk.account, "fig") == 0.6  # two thirds of an hour; none has burned
    assert asked(desk, "eu") == ["not_approved"]
    assert longest_cycle_h(desk_of(studio()).account, "fig") == 4.0


def test_no_line_ends_between_a_figure_and_its_unit() -> None:
    """On a panel of any width: "(108" and "g)" on two lines would be read as two things."""
    for width in range(44, 96, 4):
        panel, tall = (f"{{width: {width} mm, height: {high}}}" for high in ("6 cm", "2 m"))
        files = studio() | {
            "vessels/tumbler.md": PANELLED.replace("{width: 70 mm, height: 45 mm}", panel),
            "packaging/caution.md": LARGE.replace("{width: 140 mm, height: 90 mm}", tall),
        }
        for market in ("us", "eu"):
            lines = [line for face in made(desk_of(files), market).faces for line in face.lines()]
            assert not any(re.match(r"(g|oz|h|mm)\b", line) for line in lines), lines
