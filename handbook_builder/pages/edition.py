"""The two editions of the handbook: for the owner, and for everyone at the bench."""

from enum import StrEnum


class Edition(StrEnum):
    """Who a handbook is for.

    The floor edition has no price, cost or margin, and names no supplier and no recipient.
    """

    OWNER = "owner"
    FLOOR = "floor"
