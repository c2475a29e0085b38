"""What all tests share: the flag that writes golden files anew, and a cache of their own."""

import os
import shutil
import tempfile
from pathlib import Path
from typing import Final

import pytest
from hypothesis import settings

# What builds whole sites, starts the program again and again or goes through many studios: CI runs
# it, and `-m deep`. All the rest of the tests together take less than two minutes.
DEEP: Final = (
    "bench/test_amend.py",
    "bench/test_bench_files.py",
    "bench/test_log.py",
    "bench/test_lookup.py",
    "bench/test_new.py",
    "bench/test_system_refuses.py",
    "board/test_board_oracle.py",
    "board/test_board_told.py",
    "board/test_compare.py",
    "bringing/test_bring_killed.py",
    "bringing/test_out_and_in.py",
    "bringing/test_six_tables.py",
    "endtoend/",
    "handover/test_as_log.py",
    "handover/test_asked.py",
    "handover/test_damaged.py",
    "handover/test_inbox.py",
    "handover/test_killed.py",
    "handover/test_ladder_stays.py",
    "handover/test_new_records.py",
    "handover/test_photos.py",
    "handover/test_take.py",
    "hazards/test_properties.py",
    "label/test_label_commands.py",
    "label/test_label_pages.py",
    "label/test_label_pdf.py",
    "label/test_panels.py",
    "labels/test_layout_of_anything.py",
    "money/test_floor_edition.py",
    "money/test_money_pages.py",
    "oracle/test_generated_studios.py",
    "oracle/test_generator.py",
    "pages/test_bench_told.py",
    "pages/test_in_the_way.py",
    "pages/test_pour_command.py",
    "pages/test_pour_sheet.py",
    "pages/test_shown.py",
    "pages/test_told.py",
    "papers/test_class.py",
    "papers/test_paper_command.py",
    "plan/test_change_is_real.py",
    "plan/test_ladder_in_records.py",
    "plan/test_ladder_truth.py",
    "plan/test_plan_of_any_studio.py",
    "publish/",
    "safety/",
    "told/test_curing.py",
    "told/test_hands.py",
    "told/test_lots_told.py",
    "told/test_misuse.py",
    "told/test_proof.py",
    "trade/test_lots.py",
    "trade/test_orders.py",
    "trade/test_poured.py",
    "trade/test_reach.py",
    "trade/test_stock.py",
    "trade/test_trade_pages.py",
    "trade/test_who_has_it.py",
)

# A machine that is busy is no error of the program's.
settings.register_profile("tests", deadline=None)
settings.load_profile("tests")

_CACHE = "XDG_CACHE_HOME"
_made: list[str] = []


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add --update-golden, which writes what the program says now into the golden cases."""
    parser.addoption("--update-golden", action="store_true", help="write golden cases anew")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is deep, by the file that it stands in; what is long itself stays so."""
    here = Path(__file__).parent
    for item in items:
        is_deep = item.path.relative_to(here).as_posix().startswith(DEEP)
        if is_deep and item.get_closest_marker("long") is None:
            item.add_marker(pytest.mark.deep)


def pytest_configure(config: pytest.Config) -> None:
    """Let the program, and every process that a test starts, keep its cache in a folder of the run.

    Workers inherit the folder of the run that started them.
    """
    if not hasattr(config, "workerinput"):
        _made.append(tempfile.mkdtemp(prefix="handbook-tests-"))
        os.environ[_CACHE] = _made[-1]


def pytest_unconfigure() -> None:
    """Remove the folder with all that is in it."""
    while _made:
        shutil.rmtree(_made.pop(), ignore_errors=True)
