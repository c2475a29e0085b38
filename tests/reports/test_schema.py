"""The JSON Schema of each kind, held against an independent validator and YAML 1.2's own types.

jsonschema (a library for draft 2020-12, used in tests only) validates; the front matter is loaded
by tests/yaml_1_2.py, which shares no code with our reader.
"""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

from handbook_builder.reading.kinds.house import StudioRecord
from handbook_builder.reading.records import KINDS
from handbook_builder.reading.shape import keys_of
from handbook_builder.reports.schema import STUDIO, schemas
from handbook_builder.writing.new_records import KIND_NAMES
from tests.bench.calls import called, studio_of
from tests.bench.test_new import BILL, FILLED, SOY, settings
from tests.docs.test_keys_reach import shapes
from tests.reading.test_messages import CASES, _parts
from tests.records_in_text import BASE
from tests.yaml_1_2 import front_matter, plain, value_of

RECORDS = Path(__file__).parents[2] / "records"
SHAPES = {STUDIO: StudioRecord, **KINDS}
STRAY = "no-such-key"
# The golden faults of the reader that the keys of one record show: each is refused here too.
SEEN = (
    "absurd", "bad-candle", "bad-date-form", "bad-date", "bad-time-form", "bad-time",
    "beyond-reason", "comma-in-braces", "counts-of-stock", "decimal-comma",
    "difference-not-temperature", "empty-list", "empty-value", "fluid-ounces-for-mass",
    "key-below-again", "key-below", "label-keys", "long-fraction", "many-at-once",
    "minutes-without-end", "missing-key-nested", "missing-key", "negative-money", "negative",
    "no-picture-name", "no-reason", "no-unit", "not-a-cas", "not-a-choice", "not-a-count",
    "not-a-difference", "not-a-language", "not-a-list", "not-a-map-at-all", "not-a-map",
    "not-a-name", "not-a-number-at-all", "not-a-number", "not-a-quantity", "not-a-word",
    "not-finite", "not-yes-no", "odd-character", "one-form", "ounces-for-volume",
    "pieces-without-end", "range-backwards", "the-other-scale", "to-line", "too-deep",
    "two-ways", "unconditional", "unknown-key-nested", "unknown-key", "unknown-seen",
    "unknown-unit", "unpriced-currency", "wrong-dimension", "year-of-a-timed-cycle",
    "year-out-of-range",
)  # fmt: skip


@cache
def validator(kind: str) -> Draft202012Validator:
    """Return the validator of a kind, by the name of its folder; it knows which days there are."""
    checks = Draft202012Validator.FORMAT_CHECKER
    return Draft202012Validator(schemas()[kind], format_checker=checks)


def kind_of(path: str) -> str:
    """Return the kind of a record by its path below `records/`."""
    return STUDIO if path == "studio.md" else path.partition("/")[0]


@cache
def demo() -> dict[str, Any]:
    """Return the keys of each record of the demo, by its path."""
    files = [one for kind in KINDS for one in sorted((RECORDS / kind).glob("*.md"))]
    return {
        one.relative_to(RECORDS).as_posix(): front_matter(one.read_bytes())
        for one in (RECORDS / "studio.md", *files)
    }


def refused(path: str, data: bytes) -> list[ValidationError]:
    """Return what the schema of its kind says against a record; nothing where there is no YAML."""
    try:
        found = front_matter(data)
    except (yaml.YAMLError, UnicodeDecodeError):
        return []
    kind = kind_of(path)
    return list(validator(kind).iter_errors(found)) if kind in SHAPES else []


def refused_in(case: Path) -> tuple[set[str], str]:
    """Return which records of a golden case are refused, and what the reader says of the case."""
    _, files, answer = _parts(case.read_text("utf-8"))
    return {path for path, data in files.items() if refused(path, data)}, answer


@pytest.mark.parametrize("kind", SHAPES)
def test_each_schema_is_one(kind: str) -> None:
    """By the metaschema of the draft that it names."""
    found = schemas()[kind]
    assert found["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    Draft202012Validator.check_schema(found)


def test_the_demo_is_as_its_schemas_say() -> None:
    """Each record of each kind, as an editor's loader of YAML sees it."""
    found = {path: validator(kind_of(path)).is_valid(keys) for path, keys in demo().items()}
    assert {kind_of(path) for path in found} == set(SHAPES)
    assert [path for path, valid in found.items() if not valid] == []


@pytest.mark.parametrize("name", SEEN)
def test_a_fault_that_the_keys_show_is_refused(name: str) -> None:
    """The record that the reader faults, and no other of the case."""
    told, answer = refused_in(CASES[0].with_name(f"{name}.txt"))
    assert told
    assert all(f"records/{path}:" in answer for path in told)


def test_what_the_reader_takes_is_refused_nowhere() -> None:
    """In no golden case a record that no fault is told of; and the faults above are 50 and more."""
    for case in CASES:
        told, answer = refused_in(case)
        assert [path for path in told if f"records/{path}:" not in answer] == []
    assert len(SEEN) >= 50


LIMIT = "{{measure: {}, at_most: {}, on_breach: fail, published: no, source: our own}}"


# By hand, from the guide "Writing a record"; each value as it is written in a record.
@pytest.mark.parametrize(
    ("kind", "key", "taken", "not_taken"),
    [
        ("waxes", "density", "0.9 kg/L", "0.9 g"),
        ("waxes", "cure", "2 weeks", "14"),
        ("waxes", "melt_point", "-4.5 °F", "delta 50 degC"),
        ("waxes", "spec", "2", "2.5"),
        ("wicks", "size", "8", "[8]"),
        ("wicks", "core", "zinc", "lead"),
        ("vessels", "inside_diameter", "2 3/4 in", "72"),
        ("vessels", "empty_mass", "1 lb 3 oz", "468,9 g"),
        ("vessels", "drinkware", "true", "maybe"),
        ("vessels", "leak_test", "{on: 2026-01-21, hours: 24, result: dry}", "dry"),
        ("vessels", "fill", "{water: 210.4 g, at: 21 degC}", "{water: 210.4 g, volume: 210 mL}"),
        ("recipes", "wax", "{soy-blend: 80 %, beeswax: 20 %}", "{soy-blend: 80}"),
        ("recipes", "fragrance", "none", "[]"),
        ("recipes", "fill", "to_line", "to the line"),
        ("recipes", "minutes", "6", "6 g"),
        ("recipes", "retired", "2026-12-31", "2026-02-30"),
        ("batches", "made", "12 pcs", "0"),
        ("batches", "net", "[200.8 g, 7 oz]", "[200.8]"),
        ("purchases", "freight", "14.50", "-1"),
        ("studio", "markets", "[eu, gb]", "[eu, fr]"),
        ("studio", "channels", "{stall: {tax: 20 %, step: 0.50}}", "{stall: {step: 0}}"),
        ("protocols", "min_wall", "{glass: 2.5 mm}", "{jade: 2.5 mm}"),
        ("protocols", "limits", f"[{LIMIT.format('wall', '65 degC')}]",
         f"[{LIMIT.format('wall', '65 mm')}]"),
        ("protocols", "limits", f"[{LIMIT.format('flame', '60 mm')}]",
         f"[{LIMIT.format('flame', '60 mm, at_least: 3 mm')}]"),
        ("burns", "candle", "AA", "7"),
        ("burns", "lots", "{waxes/soy-blend: 2231}", "{soy-blend: W-2231}"),
        ("incidents", "about", "waxes/soy-blend", "soy-blend"),
    ],
)  # fmt: skip
def test_a_value_is_taken_and_another_is_not(
    kind: str, key: str, taken: str, not_taken: str
) -> None:
    """In a record of the demo, with one value changed."""
    keys = next(keys for path, keys in demo().items() if kind_of(path) == kind)
    for value, is_taken in ((taken, True), (not_taken, False)):
        changed = {**keys, key: plain(yaml.compose(value, Loader=yaml.BaseLoader))}
        assert validator(kind).is_valid(changed) is is_taken, value


def with_a_stray_key(value: object) -> object:
    """Return keys with one more, at every place where keys may stand."""
    if isinstance(value, dict):
        return {**{key: with_a_stray_key(one) for key, one in value.items()}, STRAY: "x"}
    return [with_a_stray_key(one) for one in value] if isinstance(value, list) else value


def every_error(errors: Iterator[ValidationError]) -> Iterator[ValidationError]:
    """Yield the errors, and those of each alternative."""
    for one in errors:
        yield one
        yield from every_error(iter(one.context or ()))


@cache
def offered() -> dict[tuple[str, str], dict[str, Any]]:
    """Return what may stand at each place of a kind's records, as the validator came to it.

    At every place where keys stand in the demo an unknown one is put: where the validator refuses
    it as unknown, it says by which schema, and that is what an editor offers there.
    """
    found = {}
    for path, keys in demo().items():
        kind = kind_of(path)
        for error in every_error(validator(kind).iter_errors(with_a_stray_key(keys))):
            if error.validator == "additionalProperties" and STRAY in error.message:
                at = ".".join("*" if isinstance(one, int) else one for one in error.absolute_path)
                found[kind, at] = error.schema["properties"]
    return found


@pytest.mark.parametrize("kind", SHAPES)
def test_no_kind_takes_an_unknown_key(kind: str) -> None:
    """It is refused, and every key of the shape offered; one of the maker's own begins with x-."""
    assert set(offered()[kind, ""]) == set(keys_of(SHAPES[kind]))
    keys = next(keys for path, keys in demo().items() if kind_of(path) == kind)
    assert validator(kind).is_valid({**keys, "x-shelf": {"row": 3}})
    assert not validator(kind).is_valid({**keys, "xshelf": 3})


def test_every_key_within_a_key_is_offered_where_it_stands() -> None:
    """Each shape's keys, at some place where the demo has them, and none of another shape."""
    sets = {frozenset(one) for one in offered().values()}
    for cls in shapes():
        assert frozenset(keys_of(cls)) in sets, cls.__name__


def test_every_key_is_offered_with_help() -> None:
    """The guide's words, without its marks; a word of a list, such as a material, needs none."""
    for where, keys in offered().items():
        for key, one in keys.items():
            told = one.get("description", "")
            is_word_of_a_list = where[1] in {"min_wall", "observations", "languages"} or (
                where[1].endswith(("former", "checks"))
            )
            assert is_word_of_a_list or re.match(r"[^ ].{3,}[.)]$", told), (where, key, told)
            assert not re.search(r"[*`]|\]\(|[sS]ee above", told), (where, key, told)


@pytest.mark.parametrize(
    ("kind", "path", "told"),
    [
        ("waxes", "density", "Of the solid wax at 20 °C. (density, 0.91 g/mL)"),
        ("waxes", "spec", "A whole number, 1 unless said. Raise it by one when the maker changes"),
        ("waxes", "asked.*.reminded", "A list, one entry a letter, each with 'what' was asked, "),
        ("burns", "cycles.*.on", "The date of lighting, with the time if you have it."),
        ("burns", "cycles.*.after", "The mass before and after. (mass, 412.6 g)"),
        ("colorants", "components.*.cas", "What it is, and its CAS number"),
        ("fragrances", "certificate.on", "The date 'on' it, its 'amendment', and its 'spec'."),
    ],
)
def test_the_help_is_of_the_key_itself(kind: str, path: str, told: str) -> None:
    """Where keys of one name mean several things: by hand, from the guide."""
    keys: Any = {"properties": offered()[kind, ""]}
    for part in path.split("."):
        keys = keys["items"] if part == "*" else _keys_of(keys)[part]
    assert keys["description"].startswith(told)


def _keys_of(schema: dict[str, Any]) -> dict[str, Any]:
    """Return the keys of a schema, or of the alternative that has some."""
    ways = (schema, *schema.get("anyOf", ()))
    found: dict[str, Any] = next(one["properties"] for one in ways if "properties" in one)
    return found


@pytest.mark.parametrize("kind", FILLED)
def test_what_new_writes_is_as_the_schema_says_once_it_is_filled_in(
    kind: str, tmp_path: Path
) -> None:
    """Its blanks are refused, and nothing else of it."""
    path, written = f"{KIND_NAMES[kind]}/one.md", []
    for name, words in (("blank", []), ("filled", settings(FILLED[kind]))):
        studio = studio_of(tmp_path / name, {**BASE, "purchases/march.md": BILL})
        assert called(studio, "new", kind, "one", *words).exit_code == 0
        written.append((studio / "records" / path).read_bytes())
    blank, filled = written
    assert refused(path, filled) == []
    blanks = {key for key, value in front_matter(blank).items() if value is None}
    assert {error.absolute_path[0] for error in refused(path, blank)} == blanks


@pytest.mark.parametrize("more", [(), ("--ladder", "cotton-8", "--ladder", "cotton-10")])
def test_new_test_candles_are_as_the_schema_says(more: tuple[str, ...], tmp_path: Path) -> None:
    """Those of a proof and those of a ladder."""
    ten = BASE["wicks/cotton-8.md"].replace("step: 3", "step: 4").replace('"8"', '"10"')
    studio = studio_of(tmp_path, {**BASE, "wicks/cotton-10.md": ten})
    count = more or ("--candles", "2")
    words = (*count, "--set", "scale=0.1 g", "--weighed", SOY, "--weighed", SOY)
    done = called(studio, "new", "burn", "fig", *words)
    assert done.exit_code == 0, done.output
    written = [one.read_bytes() for one in (studio / "records" / "burns").iterdir()]
    assert len(written) == 2
    assert [error for one in written for error in refused("burns/one.md", one)] == []


# The words of YAML 1.2.2, section 10.3.2 (from memory), and what records hold.
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("~", None), ("true", True), ("0", 0), ("0o7", 7), ("0x3A", 58), ("-19", -19), ("0.", 0.0),
        ("+12e03", 12000.0), ("yes", "yes"), ("2026-03-15", "2026-03-15"), ("12:30", "12:30"),
        ("412.6 g", "412.6 g"), ("012", 12),
    ],
)  # fmt: skip
def test_the_loader_of_these_tests_is_one_of_yaml_1_2(text: str, value: object) -> None:
    """It types a plain scalar as an editor's does, and leaves one in quotes a text."""
    assert value_of(text) == value
    assert plain(yaml.compose(f'"{text}"', Loader=yaml.BaseLoader)) == text
