"""The sentences of `new` and `log`: none is missing, and none is left over."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

import handbook_builder.cli as room
from handbook_builder.reading.kinds.readings import READINGS
from handbook_builder.reading.scale_file import read_scale_file
from handbook_builder.shipped import templates_folder
from handbook_builder.writing.cycle_draft import CYCLE_KEYS, END_KEYS

TELLERS = {"text", "say", "warn", "wrong"}
# Groups whose sentence is chosen by a code; what may choose is checked in its own room's tests.
CHOSEN = ("scale.", "lines.", "asked.", "questions.", "counted.", "caution_", "take.result.")


def _sentences(found: dict[str, Any], under: str = "") -> Iterator[str]:
    for key, value in found.items():
        if isinstance(value, dict):
            yield from _sentences(value, f"{under}{key}.")
        else:
            yield f"{under}{key}"


def _asked() -> Iterator[str]:
    """Yield every sentence that the commands ask for by name."""
    others = {"bring.py", "bring_told.py"}  # they tell out of their own table (tests/bringing)
    for file in Path(room.__path__[0]).glob("*.py"):
        if file.name in others:
            continue
        for call in ast.walk(ast.parse(file.read_text("utf-8"))):
            if (
                isinstance(call, ast.Call)
                and isinstance(call.func, ast.Attribute)
                and call.func.attr in TELLERS
                and ast.unparse(call.func.value) in ("told", "self")
                and call.args
                and isinstance(call.args[0], ast.Constant)
            ):
                yield str(call.args[0].value)


def test_sentences_and_calls_agree() -> None:
    """Each sentence that is asked for stands in the catalogue, and none stands there unasked."""
    catalogue = yaml.safe_load((templates_folder() / "words.yml").read_text("utf-8"))
    have, asked = set(_sentences(catalogue["new_and_log"])), set(_asked())
    assert asked <= have
    blanks = {"left_blank", "nothing_blank"}  # one of the two, in one call
    assert {one for one in have - asked if not one.startswith(CHOSEN)} == blanks
    # What was not read, the count and what an amendment says of itself are never asked for; a
    # reading's question stands elsewhere (tests/reading/test_readings.py).
    prompted = (
        {*CYCLE_KEYS, *END_KEYS} - {"unread", "cycles", "amended", "former"} - READINGS.keys()
    )
    assert {f"asked.{one}" for one in prompted} <= have
    assert {one for one in have if one.startswith("caution_")} == {
        "caution_refused", "caution_ask_first"
    }  # fmt: skip


def test_each_fault_of_a_scales_file_has_its_sentence() -> None:
    """Every code that the file's reader raises stands in its source, and in the catalogue."""
    folder = Path(read_scale_file.__code__.co_filename).parent
    codes = {
        str(call.args[0].value)
        for file in folder.glob("scale_*.py")
        for call in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(call, ast.Call)
        and ast.unparse(call.func).rpartition(".")[2] == "fault"
        and call.args
        and isinstance(call.args[0], ast.Constant)
    }
    assert len(codes) == 20
    catalogue = yaml.safe_load((templates_folder() / "words.yml").read_text("utf-8"))
    assert codes <= catalogue["new_and_log"]["scale"].keys()
