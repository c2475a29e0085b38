"""Square codes on paper: which page one opens, and what it holds where no address is known."""

from dataclasses import dataclass

from handbook_builder.pages.desk import Desk


@dataclass(frozen=True, slots=True)
class Square:
    """A square code on a paper.

    It opens the page at `path` where it is known under which address the handbook is served. Else
    it holds `instead`, by which the page is found in the handbook, and `how` says what to set.
    """

    title: str
    path: str
    instead: str
    opens: str
    how: str


def square_of_burn(desk: Desk, ident: str) -> Square:
    """Return the code that opens the page on which a test candle's readings are taken."""
    title = desk.phrase("papers.square.burn", burn=ident)
    return _square(desk, title, f"bench/{ident}", ident, desk.account.burn_codes[ident])


def square_of_pour(desk: Desk, ident: str) -> Square:
    """Return the code that opens the pour sheet of a product."""
    title = desk.phrase("papers.square.pour", recipe=ident)
    return _square(desk, title, f"pour/{ident}", ident, desk.account.products[ident].code)


def _square(desk: Desk, title: str, path: str, ident: str, code: str) -> Square:
    return Square(
        title=title,
        path=path,
        instead=f"{ident} {code}",
        opens=desk.phrase("papers.square.opens"),
        how=desk.phrase("papers.square.how"),
    )
