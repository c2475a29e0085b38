"""What records say of suppliers, of the studio's address and of an oil's constituents is shown."""

from handbook_builder.pages.edition import Edition
from tests.records_in_text import proven
from tests.told.rig import html

SUPPLIER = (
    "---\nkind: candle_supplier\ndistance: 38 km\nlead_time: 3 days\nminimum_order: 61.50\n---\n"
)
COMPONENT = (
    "components:\n  - {name: linalool, cas: 78-70-6, share: 3 %, hazards: [Skin Sens. 1B], "
    "m_acute: 10, m_chronic: 100, ate_oral: 2790, limit: 0.1 %}\n"
)
INCIDENT = "---\nnumber: 1\non: 2026-04-10\nabout: waxes/soy\nwhat: It smells sour.\n---\n"


def studio() -> dict[str, str]:
    """Return a proven studio with every key that was once read and never shown."""
    files = proven()
    files["studio.md"] = files["studio.md"].replace(
        "protocol:", "address: The Shed, 1 Example Lane\nprotocol:"
    )
    files["suppliers/jar-house.md"] = SUPPLIER
    oil = files["fragrances/fig-oil.md"].replace("max_use", f"{COMPONENT}max_use")
    files["fragrances/fig-oil.md"] = oil
    wax = files["waxes/soy.md"].replace("cure:", "heat_to: 82 degC\nadd_at: 71 degC\ncure:")
    return {**files, "waxes/soy.md": wax, "incidents/one.md": INCIDENT}


def test_the_owner_sees_how_far_and_how_soon_a_supplier_is() -> None:
    """On the page of materials; the floor edition has no word of any of it."""
    owner = html(studio())["materials/index"]
    for piece in ("Jar house", "38 km", "3 days", "61.50", "candle goods"):
        assert piece in owner
    floor = html(studio(), edition=Edition.FLOOR)["materials/index"]
    for piece in ("Jar house", "38 km", "3 days", "61.50", "Suppliers"):
        assert piece not in floor


def test_the_recall_sheet_says_where_candles_go_back_to() -> None:
    """In both editions: it stands on every label."""
    for edition, path in (
        (Edition.OWNER, "incidents/one"),
        (Edition.FLOOR, "incidents/incident-1"),
    ):
        assert "The Shed, 1 Example Lane" in html(studio(), edition=edition)[path]


def test_an_oil_shows_all_that_its_sheet_says_of_a_constituent() -> None:
    """Its own limit, both M-factors and the oral estimate, and that they are only copied."""
    page = html(studio())["fragrances/fig-oil"]
    for piece in (
        "linalool",
        "78-70-6",
        "Skin Sens. 1B",
        ">10<",
        ">100<",
        "2790 mg/kg swallowed",
        "0.1 %",
    ):
        assert piece in page
    assert "a range stands at its upper end" in page


def test_a_wax_shows_when_the_oil_goes_in() -> None:
    """The temperature that its maker gives."""
    assert "71 °C" in html(studio())["waxes/soy"]
