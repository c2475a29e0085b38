"""Batches: which are faults of the records, and which may not leave, by a reading of its own.

The rule, as the decisions of the project state it. A batch is asked about the day on which it was
poured, with all that is on file now and dated by then. "What speaks against the candle is no fault
of the batch": an open incident, a failed candle, a refused vessel, a load or a use over its limit.
All else that an approval needs and that was not there is a fault. A candle that failed makes up the
number when it was burned as a test is; what its own record leaves in doubt is not asked.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any

from .candle import Candle, is_void
from .cycle import is_misuse
from .evidence import counting
from .gone import missing_whys
from .incidents import open_on, touching, touching_batch, touching_proof
from .judge import candles_on, evidence, missing_codes
from .match import matches
from .protocol import protocol_of
from .read import Book, Record, day_of, read
from .screen import against, clears, screened, unknown

SPEAKS_AGAINST = {"candle_failed", "oil_over_max_use", "load_over_max_load"}
SUSPENDS = {"open_incident", "proof_lot_suspended"}


class Day:
    """A recipe on one day: its candles, its evidence, and every clause that does not hold."""

    def __init__(self, book: Book, name: str, day: date) -> None:
        """Work out all that is asked of a recipe on a day."""
        self.book, self.name, self.day = book, name, day
        self.protocol, self.recipe = protocol_of(book), book["recipes"][name]
        self.candles = candles_on(book, self.protocol, day)
        verdicts = {at: candle.verdict for at, candle in self.candles.items()}
        self.counted = evidence(book, self.recipe, verdicts, self.protocol, day)
        whys = missing_whys(book, name, self.protocol, day)
        self.missing = missing_codes(book, name, self.counted, self.protocol, day, whys)

    def is_refused(self) -> bool:
        """Tell whether something speaks against the vessel, and not only that something lacks."""
        vessel = self.book["vessels"][self.recipe["vessel"]]
        return screened(vessel, self.protocol, self.book, self.day)["screening"] == "refused"

    def suspending(self) -> list[Record]:
        """Return the incidents that suspend the recipe or its proof."""
        passed = self.counted["pass"]
        return touching(self.book, self.name, passed, self.day) + touching_proof(
            self.book, passed, self.day
        )

    def against(self) -> set[str]:
        """Return what speaks against the candle, but for incidents."""
        told = self.missing & SPEAKS_AGAINST
        return told | ({"vessel_not_cleared"} if self.is_refused() else set())

    def lacks(self) -> set[str]:
        """Return what a proof lacked, which is a fault of a batch of that day."""
        left = self.missing - SUSPENDS - self.against()
        if self.missing & {"vessel_not_cleared"} and self._never_cleared():
            left |= {"vessel_not_cleared"}  # bad news is no evidence of heat
        if self._tried_enough():
            left -= {"too_few_passed", "too_few_pourings"}
        failed = frozenset(self.counted["fail"])
        if not missing_whys(self.book, self.name, self.protocol, self.day, failed):
            left -= {"missing_candle"}
        return left

    def _never_cleared(self) -> bool:
        """Tell whether the vessel would not be cleared if nothing spoke against it either."""
        vessel, suppliers = self.book["vessels"][self.recipe["vessel"]], self.book["suppliers"]
        proofs = counting(vessel, "heat_evidence", self.day)
        has_word = any(clears(proof, self.protocol, suppliers) for proof in proofs)
        open_ = set(unknown(vessel, self.protocol, self.book, self.day))
        if "not_sealed" in against(vessel, self.protocol, self.day):
            open_ -= {"leak_untested"}  # nothing is left to be tested
        return not has_word or bool(open_)

    def _tried_enough(self) -> bool:
        tried = self.counted["pass"] + [name for name in self.counted["fail"] if self._fell(name)]
        poured = {self.book["burns"][name]["made"]["on"] for name in tried}
        needed, days = int(self.protocol["test_candles"]), int(self.protocol["pourings"])
        return len(tried) >= needed and len(poured) >= days

    def _fell(self, name: str) -> bool:
        """Tell whether a failed candle was a whole test of this very recipe."""
        burn = self.book["burns"][name]
        as_a_test = not is_misuse(burn) and burn.get("as") != "ladder"
        whole = not self.candles[name].told.gaps and not is_void(burn, self.day)
        mine = matches(self.book, self.recipe, burn["made"], self.protocol, self.day)
        return as_a_test and whole and mine


def _failed_of(then: Day, candles: Mapping[str, Candle]) -> list[str]:
    """Return the candles that failed by now and speak against the recipe as it was then."""
    return [
        name
        for name, candle in candles.items()
        if candle.verdict == "fail"
        and matches(
            then.book, then.recipe, then.book["burns"][name]["made"], then.protocol, then.day,
            failed=True,
        )
    ]  # fmt: skip


def standing(files: Mapping[str, str], name: str, day: date) -> dict[str, Any]:
    """Return how a batch without a code stands on a day, by the rules about evidence alone.

    `fault` is what its proof lacked; `suspended` and `disproven` whether it is so; `against` the
    numbers of the incidents that were open and known when it was poured, `before` of those that
    were open and told later.
    """
    book = read(files)
    batch = book["batches"][name]
    poured = day_of(batch["on"])
    then, now = Day(book, batch["recipe"], poured), Day(book, batch["recipe"], day)
    numbers = {one["number"] for one in open_on(book, day)}
    were = {
        one["number"]: one
        for one in then.suspending() + touching_batch(book, batch, poured)
        # "One that is about the very batch came after it"
        if one["about"] != f"batches/{name}"
    }
    held = touching_batch(book, batch, day) + now.suspending()
    # what proved it may be another make's candles by now, and their lots are asked for all the same
    held += touching_proof(book, then.counted["pass"], day)
    known = {number for number, one in were.items() if day_of(one.get("told", one["on"])) <= poured}
    return {
        "fault": then.lacks(),
        "suspended": bool(held) or any(one["number"] in numbers for one in then.suspending()),
        "disproven": bool(then.against() or now.is_refused() or _failed_of(then, now.candles)),
        "against": sorted(map(int, known)),
        "before": sorted(map(int, were.keys() - known)),
    }
