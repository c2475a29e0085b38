"""What stands on the label for a set of classes: statements, signal word, pictograms."""

from .words import ACUTE, SKIN_CORR, STOT_SE_3

# class -> statement, signal word, pictogram: confirmed.md 1.4, values.md; the rest from memory
PLAIN = {
    **dict.fromkeys(SKIN_CORR, ("H314", "Danger", "GHS05")),
    "Skin Irrit. 2": ("H315", "Warning", "GHS07"),
    "Eye Dam. 1": ("H318", "Danger", "GHS05"),
    "Eye Irrit. 2": ("H319", "Warning", "GHS07"),
    "STOT SE 1": ("H370", "Danger", "GHS08"),
    "STOT SE 2": ("H371", "Warning", "GHS08"),
    "STOT RE 1": ("H372", "Danger", "GHS08"),
    "STOT RE 2": ("H373", "Warning", "GHS08"),
    "Carc. 1A": ("H350", "Danger", "GHS08"),
    "Carc. 1B": ("H350", "Danger", "GHS08"),
    "Carc. 2": ("H351", "Warning", "GHS08"),
    "Muta. 1A": ("H340", "Danger", "GHS08"),
    "Muta. 1B": ("H340", "Danger", "GHS08"),
    "Muta. 2": ("H341", "Warning", "GHS08"),
    "Repr. 1A": ("H360", "Danger", "GHS08"),
    "Repr. 1B": ("H360", "Danger", "GHS08"),
    "Repr. 2": ("H361", "Warning", "GHS08"),
    "Lact.": ("H362", None, None),
    "Aquatic Acute 1": ("H400", "Warning", "GHS09"),
    "Aquatic Chronic 1": ("H410", "Warning", "GHS09"),
    "Aquatic Chronic 2": ("H411", None, "GHS09"),
    "Aquatic Chronic 3": ("H412", None, None),
    "Aquatic Chronic 4": ("H413", None, None),
}
# oral, dermal and inhaled, for categories 1 to 4
ACUTE_STATEMENTS = {
    "oral": ("H300", "H300", "H301", "H302"),
    "dermal": ("H310", "H310", "H311", "H312"),
    "gas": ("H330", "H330", "H331", "H332"),
    "vapour": ("H330", "H330", "H331", "H332"),
    "mist": ("H330", "H330", "H331", "H332"),
}
MILD = 4  # the acute category with the exclamation mark


def elements(word: str) -> tuple[str, str | None, str | None]:
    """Return statement, signal word and pictogram of a class."""
    if word in ACUTE:
        number, route = ACUTE[word]
        warned = ("Warning", "GHS07") if number == MILD else ("Danger", "GHS06")
        return (ACUTE_STATEMENTS[route][number - 1], *warned)
    if word in STOT_SE_3:
        return (word[-5:-1], "Warning", "GHS07")
    if word.startswith("Skin Sens."):
        return ("H317", "Warning", "GHS07")
    if word.startswith("Resp. Sens."):
        return ("H334", "Danger", "GHS08")
    return PLAIN[word]


def statements(classes: list[str]) -> list[str]:
    """Return the H statements: H410 says H400 too, and H314 says H318 [S; C cs T3.3.5]."""
    told = {elements(word)[0] for word in classes}
    told -= {"H400"} if "H410" in told else set()
    told -= {"H318"} if "H314" in told else set()
    return sorted(told)


def signal(classes: list[str]) -> str | None:
    """Return the one signal word: danger goes before warning."""
    told = {elements(word)[1] for word in classes}
    return next((word for word in ("Danger", "Warning") if word in told), None)


def _spares(word: str, signs: set[str | None], *, breathing: bool) -> bool:
    """Tell whether Article 26(1) leaves off the exclamation mark that a class asks for."""
    local = word.startswith(("Skin Irrit.", "Eye Irrit."))
    return (
        "GHS06" in signs  # (b)
        or ("GHS05" in signs and local)  # (c)
        or (breathing and (local or word.startswith("Skin Sens.")))  # (d)
    )


def pictograms(classes: list[str]) -> list[str]:
    """Return the pictograms that are left after Article 26."""
    signs = {elements(word)[2] for word in classes}
    breathing = any(word.startswith("Resp. Sens.") for word in classes)
    left = {
        sign
        for word in classes
        if (sign := elements(word)[2])
        and not (sign == "GHS07" and _spares(word, signs, breathing=breathing))
    }
    return sorted(left)
