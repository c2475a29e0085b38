"""The plug-in: MkDocs' events on one side, our own functions on the other."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils.templates import TemplateContext

from handbook_builder import workshop
from handbook_builder.pages.private.amounts import Care
from handbook_builder.publish import (
    fences,
    finished,
    generated,
    guide_pages,
    head,
    hosts,
    own_pages,
    papers,
    pictures,
    quick,
    searched,
    serving,
    settings,
    shipped_files,
    swap,
    templates,
    views,
)
from handbook_builder.publish.calendar import add_calendar
from handbook_builder.publish.faults_shown import FaultsShown, stop_at_problems
from handbook_builder.publish.indexing import Indexing
from handbook_builder.publish.leaves import leaf_of
from handbook_builder.publish.notes import NoteReader
from handbook_builder.publish.photos import Album
from handbook_builder.publish.placeholders import filled
from handbook_builder.publish.reading_order import link_in_order
from handbook_builder.publish.refusals import (
    has_warned,
    stop_at_refusals,
    tell_left_out,
)
from handbook_builder.publish.unused import tell_unused
from handbook_builder.terminal import seen_from_here, working

if TYPE_CHECKING:  # slow to load, and only serving needs it
    from mkdocs.livereload import LiveReloadServer


class HandbookPlugin(BasePlugin[settings.HandbookConfig]):  # type: ignore[no-untyped-call]
    """Adds the handbook of a studio to the site that MkDocs builds, and swaps the site in."""

    handbook: workshop.Handbook
    as_of: date
    studio: Path
    address: str = ""  # where this edition is served
    draft: swap.Draft | None = None
    told: workshop.Handbook | None = None  # the other edition, when it was made just before
    holds: bool = False  # keeps the finished draft until `publish` is called

    def on_startup(self, *, command: str, dirty: bool) -> None:
        """Refuse what would put the owner's edition on a host; end a server without a trace."""
        del dirty
        hosts.refuse_to_publish(command, self.config.edition, private_host=self.config.private_host)
        if command == "serve":
            serving.end_at_signals()

    @event_priority(100)  # before the other plug-ins, which then write into the draft
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the studio; if a record is at fault, stop before any page is written."""
        hosts.refuse_publishers(config, self.config.edition, private_host=self.config.private_host)
        self.draft = _begin(config)
        self.studio = settings.studio_of(config)
        seen_from_here(self.studio, self.records)
        stop_at_refusals(fences.leading_out(self.studio, self.records, Path(config.docs_dir)))
        self.as_of = self.config.as_of or date.today()  # noqa: DTZ011 -- the local day
        if self.told is None:  # said once for both editions, as what is left out below
            tell_unused(Path(config.config_file_path))
        words = templates.file_text(self.studio, "words.yml")
        self.handbook = self._tell(words)
        stop_at_problems(self.handbook.problems)
        self.address = settings.addressed(config, self.config)
        secrets = self.handbook.secrets
        hides = None if secrets is None else secrets.names
        self.index = Indexing(self.studio, self.handbook.words, hides)
        settings.make_private(config, templates.layers(self.studio, "theme"))
        settings.silence_base_search(config)
        quick.skip_hidden_templates(config.theme)
        settings.tell_theme(config, self.handbook, self.as_of, self.config.edition)
        return config

    def _tell(self, words: str | None) -> workshop.Handbook:
        """Return the handbook in the edition of this build."""
        told, edition = self.told, self.config.edition
        if told is not None and told.account is not None and told.words is not None:
            return workshop.in_edition(told.account, told.words, edition, self.known, told.press)
        return workshop.handbook_of(
            self.records, self.as_of, words, edition, self.known, self.studio
        )

    @property
    def known(self) -> tuple[str, ...]:
        """The words that are no secret, though they stand in a name."""
        return tuple(self.config.ordinary_words)

    @property
    def records(self) -> Path:
        """The folder of the records."""
        return self.studio / self.config.records

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add our pages, the guides and the photos; take out what is none of them."""
        guides = templates.files_in(templates.layers(self.studio, "guides"))
        photos = generated.lying_in(self.records, self.handbook.photos)
        secrets = self.handbook.secrets
        if secrets is not None:
            photos = generated.for_the_floor(photos, secrets.names)
        generated.drop_sources(files, [self.records, *templates.layers(self.studio, "guides")])
        generated.drop_unused(files)
        generated.add_files(files, config, guides)
        if secrets is not None:
            generated.drop_attachments(files, config, secrets.names)
        self.album = Album(photos, lambda path: f"{self.config.records}/{path}")
        self.made = self.album.files()
        generated.add_made(files, config, self.made)
        generated.add_lying(files, config, self.records, self.handbook.attachments)
        covered = own_pages.covered(files, self.handbook.pages, self._is_own)
        self._add_pages(files, config)
        self.own = own_pages.OwnPages(files, self._is_own)
        if self.told is None:  # the pages say so too
            tell_left_out((*self.album.refused(), *covered))
        add_calendar(files, config, self.handbook, self.as_of, self.address)
        return files

    @staticmethod
    def _is_own(file: File) -> bool:
        """Return whether a page is the studio's own, beside its records."""
        is_ours = isinstance(file.page, generated.HandbookPage)
        return not is_ours and templates.is_own_page(file.src_uri)

    def _add_pages(self, files: Files, config: MkDocsConfig) -> None:
        known = {page.path for page in self.handbook.pages}
        known |= {file.src_uri.removesuffix(".md") for file in files.documentation_pages()}
        reader = self._note_reader()
        photos, day = self.album.paths(), self.as_of
        attached = {file: uri for uri, file in self.handbook.attachments.items()}
        around = views.Surroundings(known, photos, day, reader, self.album, self.address, attached)
        env = views.environment(templates.layers(self.studio, "views"))
        style = papers.style_of(self.studio)
        for page in self.handbook.pages:
            if page.is_alone:
                paper = papers.alone(env, page, around, style)
                generated.add_paper(files, config, page, paper)
            else:
                generated.add_page(files, config, page, lambda it: views.render(env, it, around))

    def _note_reader(self) -> NoteReader:
        """Return what reads notes: in the floor edition, it leaves out what may not be told."""
        secrets = self.handbook.secrets
        return NoteReader(None if secrets is None else secrets.in_note)

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> None:
        """Let each guide lead to the next."""
        del nav, config
        link_in_order(files)

    @event_priority(50)  # before plug-ins that take all double braces for their own
    def on_page_markdown(
        self, markdown: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files
    ) -> str:
        """Fill in what a guide asks for, and take out of it what the edition withholds.

        The finished page is cleaned again.
        """
        del config, files
        secrets = self.handbook.secrets
        told = filled(markdown, self.handbook.guide_values, page.file.src_uri)
        care = self._care(page.file)
        return told if secrets is None else searched.clean_guide(told, secrets, care)

    def _care(self, file: File) -> Care:
        """Return how much of a page is taken for a sum, by whose text it is."""
        if isinstance(file.page, generated.HandbookPage):
            return Care.PAGE
        if file.src_uri == own_pages.INDEX and self.own:  # it bears their titles
            return Care.HAND
        return (
            Care.NONE if templates.is_shipped_guide(file.src_uri, file.abs_src_path) else Care.HAND
        )

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Keep the compiled templates of the theme, and note where each file comes from."""
        quick.keep_compiled(env)
        self.sources = {
            file.dest_uri: Path(file.abs_src_path) for file in files if file.abs_src_path
        }
        pages = {file.dest_uri: self._care(file) for file in files.documentation_pages()}
        self.written, self.due = 0, len(pages)
        self.floor = None
        if (secrets := self.handbook.secrets) is not None:
            theirs = shipped_files.ours_in(self.studio, config.theme.dirs)
            guides = {uri: self.sources[uri].read_text("utf-8")
                      for uri, care in pages.items() if care is Care.NONE}  # fmt: skip
            alone = (f"{page.path}.html" for page in self.handbook.pages if page.is_alone)
            pages |= dict.fromkeys(alone, Care.PAGE)
            style = papers.shipped_style()
            attached = self.handbook.attachments
            self.floor = searched.Floor(secrets, pages, theirs, guides, style, attached)
        return env

    def on_page_content(
        self, html: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files
    ) -> str:
        """Say under a guide which edition it is, and let links lead to words of the glossary."""
        del config, files
        return guide_pages.completed(html, page, self.handbook)

    def on_page_context(
        self, context: TemplateContext, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """List the studio's own pages, and give each page to the search and its name to paper."""
        del config
        self.written += 1
        working(f"Edition {self.config.edition}: page {self.written} of {self.due}")
        if page.file.src_uri == own_pages.INDEX and self.handbook.words is not None:
            title = str(self.handbook.words.phrases["pages"]["own_pages"])
            page.content = f"{page.content}{self.own.listed(nav, page, title)}"
        content = page.content or ""
        if self.floor is not None:
            content = finished.cleaned(content, self.floor.finds(page.file.dest_uri))
        source = page.source if isinstance(page, generated.HandbookPage) else None
        self.index.add(page.url, page.title or "", content, source)
        context["leaf"] = leaf_of(page, self.floor)  # type: ignore[typeddict-unknown-key]
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
        self._finish(self.draft.folder, config)
        config.site_dir = str(self.draft.site)
        if config.strict and has_warned():
            self.draft.discard()  # MkDocs is about to stop
            self.draft = None
        elif not self.holds:
            self.publish()

    def _finish(self, folder: Path, config: MkDocsConfig) -> None:
        """Make the finished files fit to be read: pictures without data, the floor clean."""
        is_ours = shipped_files.ours_in(self.studio, config.theme.dirs)
        found = [
            one
            for file in sorted(folder.rglob("*"))
            if (uri := file.relative_to(folder).as_posix())
            and pictures.is_picture(file)
            and not is_ours(file, uri)
            and self.made.get(uri) != file.read_bytes()
            for one in pictures.made_anew(file, self._source(uri))
        ]
        stop_at_refusals(found)
        if self.floor is not None:
            self.index.entries = searched.clean_entries(self.index.entries, self.floor)
            searched.clean(folder, self.floor)
        self.index.write(folder, views.marks(templates.layers(self.studio, "views")))
        if self.floor is not None:
            told = searched.told_by_entries(self.index.entries, self.floor)
            stop_at_refusals([*told, *searched.leaks(folder, self.floor)])
            searched.tell_unsearched(self.records, self.floor)

    def _source(self, uri: str) -> str:
        """Return the file that a file of the site was made from, as it lies in the studio."""
        source = self.sources.get(uri)
        if source is None or not source.is_relative_to(self.studio):
            return uri
        return source.relative_to(self.studio).as_posix()

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
        del builder
        for folder in watched(self.studio, self.records):
            server.watch(str(folder))
        faults = FaultsShown(self.studio)
        server.builder = faults.watching(server.builder)
        faults.on_pages_of(server)
        host, port = config.dev_addr
        server.set_app(
            serving.guarded(server.get_app() or server.serve_request, str(host), int(port))
        )
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


def _begin(config: MkDocsConfig) -> swap.Draft:
    """Start the draft of the site, and let MkDocs write into it."""
    try:
        draft = swap.begin(Path(config.site_dir))
    except (OSError, swap.ForeignFolderError) as fault:
        raise PluginError(str(fault)) from fault
    config.site_dir = str(draft.folder)
    return draft
