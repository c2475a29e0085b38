"""The settings under `plugins: handbook:` in mkdocs.yml, and those that a site must have."""

from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.config import config_options as c
from mkdocs.config.base import Config, ValidationError
from mkdocs.config.defaults import MkDocsConfig

from handbook_builder.pages.edition import Edition
from handbook_builder.publish.addresses import address_of, fault_of

if TYPE_CHECKING:
    from handbook_builder.workshop import Handbook

_INSTANT = "navigation.instant"


class _Day(c.OptionallyRequired[date]):
    """A date, as YAML reads it or as ISO text."""

    def run_validation(self, value: object) -> date:
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError as fault:
            message = f"Expected a date such as 2026-03-15, found {value!r}."
            raise ValidationError(message) from fault


class _Address(c.OptionallyRequired[object]):
    """Where the handbook is served: an address, or one for each edition."""

    def run_validation(self, value: object) -> object:
        fault = fault_of(value)
        if fault:
            raise ValidationError(fault)
        return value


class HandbookConfig(Config):  # type: ignore[no-untyped-call]
    """The settings: the folder of records (beside mkdocs.yml), the day of the verdicts (today).

    `edition` is `owner`, or `floor` for a handbook without money and names. `ordinary_words` are
    no secret there, though they stand in the name of a supplier or a recipient. `private_host`
    says that nobody but the owner can read the host that a command would publish to. `address` is
    where the handbook is served, for the square codes on paper: one address, or one an edition.
    """

    edition = c.Choice(("owner", "floor"), default="owner")
    records = c.Type(str, default="records")
    as_of = c.Optional(_Day())
    ordinary_words = c.ListOfItems(c.Type(str), default=[])
    private_host = c.Type(bool, default=False)
    address = c.Optional(_Address())

    def in_edition(self, edition: str) -> None:
        """Build this edition, and remember which one mkdocs.yml states."""
        self._stated = self.stated
        self.edition = edition

    @property
    def stated(self) -> Edition:
        """Return the edition that mkdocs.yml states: a single address is of that one."""
        return Edition(self._stated or self.edition)

    _stated: str | None = None


def addressed(config: MkDocsConfig, ours: HandbookConfig) -> str:
    """Return where the edition of this build is served, or nothing where that is not known.

    The address of the other edition is taken out of what MkDocs knows.
    """
    edition = Edition(ours.edition)
    found = address_of(ours.address, config.site_url, edition=edition, stated=ours.stated)
    if edition is not ours.stated:
        config.site_url = f"{found}/" if found else None
    return found


def tell_theme(config: MkDocsConfig, handbook: "Handbook", as_of: date, edition: str) -> None:
    """Give the theme what it says on each page."""
    config.extra["as_of"] = as_of.isoformat()
    config.extra["stale_after_days"] = f"{handbook.stale_after_days:g}"
    config.extra["studio_name"] = handbook.studio_name
    config.extra["edition"] = edition
    config.extra["wrong_link"] = handbook.wrong_link
    config.extra["has_money"] = any(it.path == "money/index" for it in handbook.pages)


def studio_of(config: MkDocsConfig) -> Path:
    """Return the folder of the studio: the one that holds mkdocs.yml."""
    return Path(config.config_file_path).resolve().parent


def make_private(config: MkDocsConfig, theme_folders: list[Path]) -> None:
    """Set what an offline, private site needs, whatever mkdocs.yml says."""
    config.use_directory_urls = False  # or links would not work from a folder
    config.edit_uri = None
    config.edit_uri_template = None
    config.theme.dirs[:0] = [str(folder) for folder in theme_folders]
    config.theme["font"] = False  # or fonts would come from a public host
    config.theme.static_templates.discard("sitemap.xml")
    features = config.theme.get("features") or []  # instant loading would ask for the site map
    config.theme["features"] = [one for one in features if not str(one).startswith(_INSTANT)]
    config.extra.setdefault("homepage", "index.html")


def silence_base_search(config: MkDocsConfig) -> None:
    """Leave the search field on the page, and keep its plug-in from indexing: we do."""
    for name in ("search", "material/search"):
        plugin = config.plugins.get(name)
        if plugin is not None and "enabled" in plugin.config:
            plugin.config["enabled"] = False
