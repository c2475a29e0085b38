"""The plug-in: MkDocs' events on one side, our own functions on the other."""

import logging
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click
import mkdocs
from jinja2 import Environment
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils import CountHandler
from mkdocs.utils.templates import TemplateContext

from handbook_builder import workshop
from handbook_builder.publish import generated, head, quick, settings, swap, templates, views
from handbook_builder.publish.calendar import add_calendar
from handbook_builder.publish.faults_shown import FaultsShown, RecordsAtFaultError
from handbook_builder.publish.placeholders import filled
from handbook_builder.publish.search import SearchIndex, plain_text

if TYPE_CHECKING:  # slow to load, and only serving needs it
    from mkdocs.livereload import LiveReloadServer


class HandbookPlugin(BasePlugin[settings.HandbookConfig]):  # type: ignore[no-untyped-call]
    """Adds the handbook of a studio to the site that MkDocs builds, and swaps the site in."""

    handbook: workshop.Handbook
    as_of: date
    studio: Path
    draft: swap.Draft | None = None
    told: workshop.Handbook | None = None  # the other edition, when it was made just before
    holds: bool = False  # keeps the finished draft until `publish` is called

    @event_priority(100)  # before the other plug-ins, which then write into the draft
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the studio; if a record is at fault, stop before any page is written."""
        self.draft = _begin(config)
        self.studio = settings.studio_of(config)
        self.as_of = self.config.as_of or date.today()  # noqa: DTZ011 -- the local day
        words = templates.file_text(self.studio, "words.yml")
        self.handbook = self._tell(words)
        _stop_at_problems(self.handbook)
        self.index = SearchIndex()
        settings.make_private(config, templates.layers(self.studio, "theme"))
        settings.silence_base_search(config)
        quick.skip_hidden_templates(config.theme)
        config.extra["as_of"] = self.as_of.isoformat()
        config.extra["stale_after_days"] = f"{self.handbook.stale_after_days:g}"
        config.extra["studio_name"] = self.handbook.studio_name
        config.extra["edition"] = self.config.edition
        config.extra["has_money"] = any(it.path == "money/index" for it in self.handbook.pages)
        return config

    def _tell(self, words: str | None) -> workshop.Handbook:
        """Return the handbook in the edition of this build."""
        told, edition = self.told, self.config.edition
        if told is not None and told.account is not None and told.words is not None:
            return workshop.in_edition(told.account, told.words, edition)
        return workshop.handbook_of(self.records, self.as_of, words, edition)

    @property
    def records(self) -> Path:
        """The folder of the records."""
        return self.studio / self.config.records

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add our pages, the guides and the photos; take out what is none of them."""
        guides = templates.files_in(templates.layers(self.studio, "guides"))
        photos = generated.photos_in(self.records)
        if self.config.edition == "floor":
            photos = generated.for_the_floor(photos, self.handbook.clean)
        generated.drop_sources(files, [self.records, *templates.layers(self.studio, "guides")])
        generated.drop_unused(files)
        generated.add_files(files, config, guides)
        if self.config.edition == "floor":
            generated.drop_attachments(files)
        generated.add_files(files, config, {f"photos/{uri}": path for uri, path in photos.items()})
        self._add_pages(files, config, photos)
        add_calendar(files, config, self.handbook, self.as_of)
        return files

    def _add_pages(self, files: Files, config: MkDocsConfig, photos: dict[str, Path]) -> None:
        known = {page.path for page in self.handbook.pages}
        known |= {file.src_uri.removesuffix(".md") for file in files.documentation_pages()}
        around = views.Surroundings(known, photos.keys(), self.as_of)
        env = views.environment(templates.layers(self.studio, "views"))
        for page in self.handbook.pages:
            generated.add_page(files, config, page, lambda it: views.render(env, it, around))

    @event_priority(50)  # before plug-ins that take all double braces for their own
    def on_page_markdown(
        self, markdown: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files
    ) -> str:
        """Fill in what a guide asks for, and take out of it what the edition withholds."""
        del config, files
        values = self.handbook.guide_values
        return self.handbook.clean(filled(markdown, values, page.file.src_uri))

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Keep the compiled templates of the theme for the next build."""
        del config, files
        quick.keep_compiled(env)
        return env

    def on_page_context(
        self, context: TemplateContext, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Give the page to the search."""
        del config, nav
        content = page.content or ""
        if isinstance(page, generated.HandbookPage):
            source = page.source
            self.index.add(page.url, source.title, content, source.boost, source.words)
        else:
            self.index.add(page.url, plain_text(page.title or ""), content)
        return context

    def on_post_page(self, output: str, *, page: MkDocsPage, config: MkDocsConfig) -> str:
        """Keep the page private."""
        del page, config
        return head.private(output)

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:
        """Keep the page that is shown for a missing one private, too."""
        del config
        return head.private(output) if template_name.endswith(".html") else output

    @event_priority(-1000)  # after everyone else who writes into the site
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Put the finished site in the place of the old one."""
        if self.draft is None:
            return
        self.index.write(self.draft.folder)
        config.site_dir = str(self.draft.site)
        if config.strict and _has_warned():
            self.draft.discard()  # MkDocs is about to stop
            self.draft = None
        elif not self.holds:
            self.publish()

    def publish(self) -> Path | None:
        """Put the finished draft in the place of the old site, and return where that is."""
        if self.draft is None:
            return None
        self.draft.publish()
        site = self.draft.site
        self.draft = None
        return site

    def on_serve(
        self, server: "LiveReloadServer", /, *, config: MkDocsConfig, builder: Callable[..., None]
    ) -> "LiveReloadServer":
        """Watch the records and the templates; keep the old pages while a record is at fault."""
        del config, builder
        for folder in watched(self.studio, self.records):
            server.watch(str(folder))
        faults = FaultsShown(self.studio)
        server.builder = faults.watching(server.builder)
        faults.on_pages_of(server)
        return server

    def on_build_error(self, *, error: Exception) -> None:
        """Leave the old site as it is, and nothing beside it."""
        del error
        self.discard()

    def discard(self) -> None:
        """Remove the draft, finished or not; the old site stays."""
        if self.draft is not None:
            self.draft.discard()
            self.draft = None


def watched(studio: Path, records: Path) -> list[Path]:
    """Return the folders whose files make another site when they change."""
    return [records, *templates.layers(studio)]


def _stop_at_problems(handbook: workshop.Handbook) -> None:
    if not handbook.problems:
        return
    for problem in handbook.problems:
        click.echo(str(problem), err=True)
    count = len(handbook.problems)
    noun = "problem" if count == 1 else "problems"
    message = f"{count} {noun} in the records. Nothing was published."
    raise RecordsAtFaultError(message, [str(one) for one in handbook.problems])


def _begin(config: MkDocsConfig) -> swap.Draft:
    """Start the draft of the site, and let MkDocs write into it."""
    try:
        draft = swap.begin(Path(config.site_dir))
    except (OSError, swap.ForeignFolderError) as fault:
        raise PluginError(str(fault)) from fault
    config.site_dir = str(draft.folder)
    return draft


def _has_warned() -> bool:
    """Return whether this build, run in strict mode, has warned of anything."""
    counters = [
        handler
        for handler in logging.getLogger(mkdocs.__name__).handlers
        if isinstance(handler, CountHandler)
    ]
    return any(counter.get_counts() for counter in counters)
