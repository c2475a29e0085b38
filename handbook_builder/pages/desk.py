"""What every page is written with: the account of the studio, and the words."""

from dataclasses import dataclass, replace
from datetime import date

from handbook_builder.derived.account import Account
from handbook_builder.derived.label.made import Press
from handbook_builder.derived.label.press import shipped_press
from handbook_builder.derived.money.account import Money
from handbook_builder.pages.edition import Edition
from handbook_builder.problems import Place
from handbook_builder.reading.kinds.making import Recipe
from handbook_builder.reading.refs import Ref
from handbook_builder.studio.studio import Studio
from handbook_builder.verdicts.judge import Judged
from handbook_builder.verdicts.reason import Reason
from handbook_builder.words import Words

# Folders of records whose pages stand in a room of another name.
_ROOMS = {"recipes": "products", "burns": "tests", "protocols": "reference"}
# Rooms in which one page tells of all records.
_ONE_PAGE = {"reference": "reference/limits", "stock": "stock/index"}
_NO_BREAK = "\N{NO-BREAK SPACE}"
_WITHOUT_PAGES = frozenset({"suppliers", "purchases"})

PUPILS = 8  # of a class, unless somebody says how many


@dataclass(frozen=True, slots=True)
class Link:
    """A name and the page it leads to; an empty `path` leads nowhere."""

    title: str
    path: str


@dataclass(frozen=True, slots=True)
class Said:
    """One reason in words: what, what to do, the record's line, and the page of that record."""

    text: str
    mend: str
    where: str
    path: str


@dataclass(frozen=True, slots=True)
class Desk:
    """The account to tell of, and the words to tell it in."""

    account: Account
    words: Words
    edition: Edition = Edition.OWNER
    own_press: Press | None = None
    pupils: int = PUPILS

    @property
    def studio(self) -> Studio:
        """Return the studio that the pages are about."""
        return self.account.studio

    @property
    def judged(self) -> Judged:
        """Return all verdicts."""
        return self.account.judged

    @property
    def money(self) -> Money | None:
        """Return all that is known of money, or None: the floor edition is given none of it."""
        return self.account.money

    @property
    def press(self) -> Press:
        """Return what labels are made with: the studio's own catalogues, else the shipped ones."""
        return self.own_press or shipped_press()

    @property
    def day(self) -> date:
        """Return the day that the verdicts are of."""
        return self.judged.as_of

    @property
    def terse(self) -> Words:
        """Return the words for wide tables: one unit for each quantity, not two."""
        return replace(self.words, units="metric") if self.words.units == "both" else self.words

    def phrase(self, path: str, /, **details: object) -> str:
        """Return the sentence that stands under `path` ("odds.full") of the pages' phrases."""
        found = self.words.phrases["pages"]
        for key in path.split("."):
            found = found[key]
        return str(found).format_map(details)

    def said(self, reason: Reason) -> Said:
        """Return a reason in words."""
        place = reason.place
        text, mend = self.words.say(reason), self.words.mend(reason)
        return Said(text, mend, str(place), page_of(place))

    def product(self, recipe: Recipe) -> Link:
        """Return the link to a product."""
        return Link(recipe.title, f"products/{recipe.source.id}")

    def test(self, ident: str) -> Link:
        """Return the link to a test candle, called by its product and its letter."""
        burn = self.studio.burns[ident]
        product = self.studio.recipes[burn.recipe].title
        title = self.phrase("titles.test", product=product, candle=burn.candle)
        return Link(title, f"tests/{ident}")

    def mass(self, value_g: float) -> str:
        """Return a mass to the tenth of a gram, or to the hundredth below one gram."""
        return self.words.quantity(round(value_g, 1 if value_g >= 1 else 2), "g")

    def volume(self, value_ml: float) -> str:
        """Return a volume to the tenth of a millilitre."""
        return self.words.quantity(round(value_ml, 1), "ml")

    def bare(self, value: float | None, suffix: str) -> str | None:
        """Return a quantity for a table whose head bears the unit (see `unit`), or None."""
        if value is None:
            return None
        shown = self.terse.quantity(value, suffix)
        return shown.partition(_NO_BREAK)[0] if self.unit(suffix) else shown

    def unit(self, suffix: str) -> str:
        """Return the unit for the head of a column, or nothing where its cells bear their own."""
        if self.terse.units != "metric":
            return ""
        return self.terse.quantity(0.0, suffix).partition(_NO_BREAK)[2]

    def maybe(self, value: float | None, suffix: str) -> str | None:
        """Return a quantity, or None when it was not recorded."""
        return None if value is None else self.words.quantity(value, suffix)


def name_of(ident: str) -> str:
    """Return an id as a name: "cotton-8" is the Cotton 8."""
    spaced = ident.replace("-", " ")
    return spaced[:1].upper() + spaced[1:]


def item_link(folder: str, ident: str) -> Link:
    """Return the link to a vessel or a material."""
    return Link(name_of(ident), f"{folder}/{ident}")


def ref_link(item: Ref) -> Link:
    """Return the link to an item that is named by a reference."""
    return item_link(item.folder, item.id)


def page_of(place: Place) -> str:
    """Return the page that tells of the record at `place`, or nothing when none does."""
    folder, _, file = place.file.rpartition("/")
    kind, ident = folder.rpartition("/")[2], file.removesuffix(".md")
    if kind in _WITHOUT_PAGES or not kind:
        return ""
    room = _ROOMS.get(kind, kind)
    if room in _ONE_PAGE:
        return _ONE_PAGE[room]
    return "" if ident == "studio" else f"{room}/{ident}"
