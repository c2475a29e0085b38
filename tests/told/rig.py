"""Small studios written as text, told as pages, JSON and in the terminal."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from handbook_builder.cli import main
from handbook_builder.derived.account import Account, account_of
from handbook_builder.pages.edition import Edition
from handbook_builder.pages.handbook import pages_of
from handbook_builder.pages.page import Page
from handbook_builder.reports.figures import report
from handbook_builder.reports.plain import as_json
from handbook_builder.words import Words
from tests.pages.conftest import catalogue, shown
from tests.records_in_text import DAY, linked, write


def account(files: Mapping[str, str], day: date = DAY) -> Account:
    """Return a studio of texts, judged and reckoned up."""
    return account_of(linked(files), day)


def pages(
    files: Mapping[str, str], day: date = DAY, edition: Edition = Edition.OWNER
) -> dict[str, Page]:
    """Return the pages of a studio of texts by their path."""
    told = pages_of(account(files, day), Words.load(catalogue()), edition)
    return {page.path: page for page in told}


def html(
    files: Mapping[str, str], day: date = DAY, edition: Edition = Edition.OWNER
) -> dict[str, str]:
    """Return the HTML of every page by its path, with ordinary spaces."""
    found = shown(pages(files, day, edition), day)
    return {path: plain(text) for path, text in found.items()}


def plain(text: str) -> str:
    """Return a text with ordinary spaces."""
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def figures(files: Mapping[str, str], day: date = DAY) -> dict[str, Any]:
    """Return what `figures --json` prints, as it is read back."""
    found = account(files, day)
    text = as_json(report(found, Words.load(catalogue()).say))
    return dict(json.loads(text))


def run(folder: Path, files: Mapping[str, str], *call: str) -> Result:
    """Run a command in a studio of texts on disk, as of DAY unless told otherwise."""
    write(folder / "records", files)
    return CliRunner().invoke(main, [*call, "--studio", str(folder)])
