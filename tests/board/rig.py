"""Boards of small studios, for tests that write the studio as text."""

from collections.abc import Mapping
from datetime import date

from handbook_builder.derived.account import Account, account_of
from handbook_builder.derived.board import Board, Outlook, board_of
from handbook_builder.derived.waiting import Waiting
from tests.records_in_text import BASE, STUDIO, burn, linked

DAY = date(2026, 4, 1)


def cycle(on: str, before: float, after: float, burned: str = "4 h") -> str:
    """Return a cycle with nothing wrong in it."""
    return (
        f"{{on: {on}, burned: {burned}, before: {before} g, after: {after} g, pool: 70 mm, "
        "flame: 22 mm, wall: 52 degC, after_smoke: 8 s}"
    )


def going_on(candle: str, *cycles: str, candles: int = 1, on: str = "2026-03-01") -> str:
    """Return a test candle of the recipe `fig` that has not come to its end."""
    text = burn(candle, cycles=list(cycles), end="", candles=candles)
    return text.replace("  on: 2026-03-01", f"  on: {on}")


def account(burns: Mapping[str, str], day: date = DAY, **files: str) -> Account:
    """Return a studio with these burns; `files` are further records, `__` standing for `/`."""
    more = {f"{path.replace('__', '/')}.md": text for path, text in files.items()}
    told = {f"burns/fig-{letter}.md": text for letter, text in burns.items()}
    return account_of(linked({**BASE, **more, **told}), day)


def board(burns: Mapping[str, str], day: date = DAY, **files: str) -> Board:
    """Return the board of such a studio."""
    return board_of(account(burns, day, **files))


def waiting(found: Board, letter: str = "a") -> Waiting:
    """Return one candle of the board."""
    (one,) = [each for each in found.waiting if each.id == f"fig-{letter}"]
    return one


def outlook(found: Board, recipe: str = "fig") -> Outlook:
    """Return what stands between one product and its approval."""
    (one,) = [each for each in found.outlooks if each.product.recipe.source.id == recipe]
    return one


def habit(cycles: int) -> str:
    """Return the record of a studio that burns so many cycles a day."""
    return STUDIO.replace("protocol: default", f"protocol: default\ncycles_a_day: {cycles}")
