"""How the board says what it reckoned: counts, hours, and what they rest on."""

from handbook_builder.derived.board import Board
from handbook_builder.derived.remaining import LifeGuess, Weighed
from handbook_builder.derived.waiting import Waiting
from handbook_builder.pages.desk import Desk


def several(desk: Desk, path: str, count: int, **details: object) -> str:
    """Return a phrase that has one form for one and another for many."""
    return desk.phrase(f"{path}.{'one' if count == 1 else 'many'}", count=count, **details)


def about_h(desk: Desk, hours_h: float) -> str:
    """Return a reckoned duration to the quarter of an hour: it is known no better."""
    return desk.words.quantity(round(hours_h * 4) / 4, "h")


def left_told(desk: Desk, one: Waiting) -> str:
    """Return how long a candle has left, in hours and cycles."""
    if one.left is None or one.cycles_left is None:
        return desk.phrase("board.left_unknown")
    cycles = several(desk, "board.cycles", one.cycles_left)
    return desk.phrase("board.left", left_h=about_h(desk, one.left.hours_h), cycles=cycles)


def life_told(desk: Desk, life: LifeGuess) -> str:
    """Return what a life was reckoned from."""
    kind = "like" if life.by_rate else "measured" if life.measured else "reckoned"
    whose = "plan.candles" if life.by_rate else "board.candles"
    candles = several(desk, whose, life.candles)
    return desk.phrase(f"board.life.{kind}", candles=candles)


def bases(desk: Desk, board: Board) -> tuple[str, ...]:
    """Return, for each candle whose hours left are known, what they were reckoned from."""
    told = []
    for one in board.waiting:
        candle = desk.test(one.id).title
        if one.left is not None and one.left.weighed is not None:
            told.append(_own_basis(desk, candle, one.left.weighed))
        elif one.left is not None and one.left.life is not None:
            life = one.left.life
            hours, whose = about_h(desk, life.hours_h), life_told(desk, life)
            told.append(desk.phrase("board.basis.sisters", candle=candle, life_h=hours, life=whose))
    return tuple(told)


def _own_basis(desk: Desk, candle: str, own: Weighed) -> str:
    residue = desk.phrase("board.basis.residue_none")
    if own.sisters:
        sisters = several(desk, "board.candles", own.sisters)
        residue = desk.phrase("board.basis.residue_sisters", candles=sisters)
    return desk.phrase(
        "board.basis.own",
        candle=candle,
        mass_g=desk.mass(own.mass_g),
        empty_g=desk.mass(own.empty_g),
        empty=desk.phrase(f"board.basis.empty_{'record' if own.by_record else 'weighed'}"),
        residue_g=desk.mass(own.residue_g),
        residue=residue,
        rate=f"{own.rate_g_per_h:.2f}",
        rates=several(desk, "board.basis.latest", len(own.rates)),
    )
