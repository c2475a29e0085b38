"""The guides as a studio's own protocol fills them."""

import re
import shutil
import tempfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from handbook_builder.pages.desk import Desk
from handbook_builder.pages.guide_values import guide_values
from handbook_builder.publish.placeholders import filled
from handbook_builder.workshop import account_in, words_for, words_text_for

ROOT = Path(__file__).parents[2]
DAY = date(2026, 5, 1)
SHIPPED_GUIDES: Mapping[str, str] = {
    file.name: file.read_text("utf-8")
    for file in sorted((ROOT / "site_templates" / "guides" / "guides").glob("*.md"))
}


def values_of(protocol: str = "protocol: house", own: str | None = None) -> dict[str, str]:
    """Return the values of the bare studio of the demo, which has no candles, by a protocol."""
    with tempfile.TemporaryDirectory() as folder:
        records = Path(folder, "records")
        (records / "protocols").mkdir(parents=True)
        studio = (ROOT / "records" / "studio.md").read_text("utf-8")
        studio = re.sub(r"(?m)^incidents: \d+", "incidents: 0", studio)  # no candle, no incident
        (records / "studio.md").write_text(studio.replace("protocol: house", protocol), "utf-8")
        house = records / "protocols" / "house.md"
        shutil.copy(ROOT / "records" / "protocols" / "house.md", house)
        if own is not None:
            house.write_text(own, "utf-8")
        account, problems = account_in(records, DAY)
    assert account is not None, problems
    words = words_for(account.studio, words_text_for(ROOT))
    values = guide_values(Desk(account, words))
    return {name: text.replace("\N{NO-BREAK SPACE}", " ") for name, text in values.items()}


def guides_of(protocol: str = "protocol: house", own: str | None = None) -> dict[str, str]:
    """Return the text of each shipped guide, filled."""
    values = values_of(protocol, own)
    return {name: filled(text, values, name) for name, text in SHIPPED_GUIDES.items()}
