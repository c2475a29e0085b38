"""Where a handbook is served: one address an edition, and none of the owner's on the floor."""

import pytest

from handbook_builder.pages.edition import Edition
from handbook_builder.publish.addresses import MOST_LETTERS, address_of, fault_of

OWNER, FLOOR = Edition.OWNER, Edition.FLOOR
BOTH = {"owner": "https://a.example/", "floor": "https://b.example/floor"}


@pytest.mark.parametrize(
    ("option", "site_url", "stated", "owner", "floor"),
    [
        (None, None, OWNER, "", ""),
        (BOTH, None, OWNER, "https://a.example", "https://b.example/floor"),
        (BOTH, "https://c.example/", OWNER, "https://a.example", "https://b.example/floor"),
        ({"owner": "https://a.example"}, None, OWNER, "https://a.example", ""),
        ({"floor": "https://b.example"}, "https://c.example", OWNER, "", "https://b.example"),
        ("https://a.example/x/", None, OWNER, "https://a.example/x", ""),
        ("https://a.example", None, FLOOR, "", "https://a.example"),
        (None, "https://c.example/book/", OWNER, "https://c.example/book", ""),
        (None, "https://c.example", FLOOR, "", "https://c.example"),
        ("https://a.example", "https://c.example", OWNER, "https://a.example", ""),
        (None, "http://127.0.0.1:8000/", OWNER, "", ""),
        (None, "http://localhost:8000/", OWNER, "", ""),
        (None, "https://c.example/" + "x" * MOST_LETTERS, OWNER, "", ""),
    ],
)
def test_which_address_an_edition_has(
    option: object, site_url: str | None, stated: Edition, owner: str, floor: str
) -> None:
    """A single one is that of the edition that mkdocs.yml states, and of no other."""
    found = [address_of(option, site_url, edition=one, stated=stated) for one in (OWNER, FLOOR)]
    assert found == [owner, floor]


@pytest.mark.parametrize(
    ("option", "says"),
    [
        ("https://a.example", ""),
        ("http://192.168.0.4:8000/handbook", ""),
        (BOTH, ""),
        ({}, ""),
        ("a.example", "Expected an address such as https://bench.example/handbook, found"),
        ("ftp://a.example", "found 'ftp://a.example'"),
        ("https://a example", "found 'https://a example'"),
        ("https://a.example\n", "found"),
        ({"owner": None}, "found None"),
        ({"shed": "https://a.example"}, "Expected the editions owner and floor, found 'shed'."),
        (["https://a.example"], "found ['https://a.example']"),
        ("https://" + "a" * MOST_LETTERS, f"Expected at most {MOST_LETTERS} letters"),
    ],
)
def test_what_is_no_address(option: object, says: str) -> None:
    """It is said what was found, and what was expected."""
    found = fault_of(option)
    assert bool(found) == bool(says)
    assert says in found
