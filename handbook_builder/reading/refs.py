"""How one record names another, by folder and id; and the kinds of items that there are."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class ItemKind:
    """A kind of thing that a candle is made of or leaves in.

    `key` is what a recipe calls it. It is bought and used by mass, or by the piece. `burns` says
    that it is part of the candle that was tested: a box does not burn.
    """

    folder: str
    key: str
    is_weighed: bool
    burns: bool


ITEM_KINDS: Final = (
    ItemKind("vessels", "vessel", is_weighed=False, burns=True),
    ItemKind("waxes", "wax", is_weighed=True, burns=True),
    ItemKind("wicks", "wick", is_weighed=False, burns=True),
    ItemKind("fragrances", "fragrance", is_weighed=True, burns=True),
    ItemKind("colorants", "colorant", is_weighed=True, burns=True),
    ItemKind("packaging", "packaging", is_weighed=False, burns=False),
)
ITEM_FOLDERS: Final = tuple(kind.folder for kind in ITEM_KINDS)
WEIGHED_FOLDERS: Final = tuple(kind.folder for kind in ITEM_KINDS if kind.is_weighed)
_BY_FOLDER: Final = {kind.folder: kind for kind in ITEM_KINDS}


class Ref(str):
    """A record named by its folder and id, such as `waxes/soy-blend`.

    It is text, since it stands as that in records, pages and answers to programs; but it is cut
    at its slash nowhere else, and no other text passes for one.
    """

    __slots__ = ()

    @classmethod
    def to(cls, folder: str, ident: str) -> "Ref":
        """Return the reference to a record."""
        return cls(f"{folder}/{ident}")

    @property
    def folder(self) -> str:
        """Return the folder of its kind."""
        return self.partition("/")[0]

    @property
    def id(self) -> str:
        """Return its name within the folder."""
        return self.partition("/")[2]

    @property
    def is_item(self) -> bool:
        """Return whether it names an item, and not a recipe or a batch."""
        return self.folder in _BY_FOLDER

    @property
    def is_weighed(self) -> bool:
        """Return whether it is an item that is used by its mass, and not by the piece."""
        return self.is_item and _BY_FOLDER[self.folder].is_weighed

    @property
    def burns(self) -> bool:
        """Return whether it is an item that is part of the candle that was tested."""
        return self.is_item and _BY_FOLDER[self.folder].burns
