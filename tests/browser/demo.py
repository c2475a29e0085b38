"""The demo studio: its site, built as a user would, and what its pages are told from."""

import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Final

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.products.pour_sheet import sheet_of
from handbook_builder.workshop import account_in, words_for, words_text_for

ROOT: Final = Path(__file__).resolve().parents[2]
DAY: Final = date(2026, 5, 1)


def built_demo(site: Path) -> Path:
    """Build the handbook of the demo into `site`, and return it."""
    command = [sys.executable, "-m", "handbook_builder", "build", "--site", site]
    subprocess.run(command, cwd=ROOT, check=True, timeout=300)
    return site


def desk_of_demo() -> Desk:
    """Return what the pages of the demo are told from."""
    account, problems = account_in(ROOT / "records", DAY)
    assert account is not None, problems
    return Desk(account, words_for(account.studio, words_text_for(ROOT)))


def pourable(desk: Desk) -> list[str]:
    """Return the products whose sheet has weights: those that no vessel and no limit refuses."""
    found = [ident for ident in desk.judged.products if not sheet_of(desk, ident).refused]
    assert len(found) > 15
    return found
