"""The MkDocs plugin: events in, calls out.

Options, under `plugins: - kitdocs:` in mkdocs.yml; the content folder is MkDocs' own `docs_dir`:

| option | default | what it is |
|---|---|---|
| `templates` | `site_templates`, where there is one | templates that go before the shipped ones |
| `cache` | `.cache/kitdocs` | folder of charts and rendered pages kept between builds |
| `release` | `false` | refuse to build a kit whose model is not the one that was signed |
| `offline` | `true` | have browsers keep the site after one visit, for a bench without a network |

Both are counted from the folder of mkdocs.yml. With `--strict`, warnings stop the build too.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Literal

from mkdocs.config import base
from mkdocs.config import config_options as c
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from kitdocs.finding import Finding, count_line, stops
from kitdocs.mkdocs_site.composing import Composed, Composer
from kitdocs.mkdocs_site.dates import BuildDate, without_dates
from kitdocs.mkdocs_site.files import arrange, marked_language, words_of
from kitdocs.mkdocs_site.finishing import Finishing, Form
from kitdocs.mkdocs_site.languages import SiteLanguages, left_out, uri_of
from kitdocs.mkdocs_site.memory import Memory, keep_compiled
from kitdocs.mkdocs_site.preview import HOME, with_notice
from kitdocs.mkdocs_site.remembered_page import remember_pages
from kitdocs.mkdocs_site.remembered_search import remember_entries
from kitdocs.mkdocs_site.swap import BuildBeside, will_abort
from kitdocs.mkdocs_site.watching import Watching

#: What the generated pages need of Markdown, beside what MkDocs always loads.
EXTENSIONS = ("admonition", "attr_list", "md_in_html")


class KitdocsOptions(base.Config):
    """The options of the plugin; the table above is what the guide shows."""

    templates = c.Optional(c.Dir(exists=True))
    cache = c.Dir(default=".cache/kitdocs")
    release = c.Type(bool, default=False)
    offline = c.Type(bool, default=True)


class KitdocsPlugin(BasePlugin[KitdocsOptions]):
    """Publishes the kits of a site. One object lives through a whole preview.

    With `for_disk` the site is built in the form that opens from a disk.
    """

    def __init__(self) -> None:
        self.for_disk = False
        self._serving = False
        self._composer: Composer | None = None
        self._memory = Memory()
        self._date = BuildDate()
        self._beside: BuildBeside | None = None
        self._watching: Watching | None = None
        self._composed = Composed()
        self._stopping: list[Finding] = []
        self._written_nav: Any = None
        self._languages: SiteLanguages | None = None
        self._finishing: Finishing | None = None

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        self._serving = command == "serve"
        if dirty:
            raise PluginError(
                "kitdocs: --dirty would leave old numbers in pages whose text did not change. "
                "Run without it; the preview renders only what has changed."
            )

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        languages = SiteLanguages.of(config)
        if languages.within_another:
            config.nav = self._written_nav
            return config
        self._languages = languages
        languages.begin()
        self._written_nav = config.nav
        self._date.begin()
        keep_compiled(config.theme, Path(self.config.cache))
        for extension in EXTENSIONS:
            if extension not in config.markdown_extensions:
                config.markdown_extensions.append(extension)
        composer = _composer(config, self.config)
        if self._composer is None or self._composer.setting != composer.setting:
            self._composer = composer
            self._memory = Memory()
        self._report(self._composer.survey(remember=self._serving).findings, config.strict)
        if not self._serving:
            self._beside = BuildBeside(config)
        self._finishing = Finishing(config, self._composer.templates, self._form)
        return config

    @event_priority(-150)  # the plugin i18n, at -100, knows nothing of files without a source
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        composer = self._composer
        languages = SiteLanguages.of(config)
        written = [uri_of(f) for f in files.documentation_pages()]
        self._composed = composer.compose(
            config.use_directory_urls, written, languages.current, languages.folder
        )
        wrong = [f for f in self._composed.findings if f not in composer.surveyed.findings]
        wrong += arrange(files, config, self._composed, composer.surveyed, composer.site_root)
        self._report(wrong, config.strict)
        if not languages.within_another:
            name = Path(config.config_file_path or "mkdocs.yml").name
            self._report(left_out(composer.surveyed, languages, name), config.strict)
        self._stopping = [*self._composed.findings, *wrong]
        self._finishing.begin(files, config, self._composed.site.offline)
        remember_pages(files, config, self._memory)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        self._memory.begin(config, files, Path(self.config.cache))
        remember_entries(config, self._memory)
        return nav

    @event_priority(100)
    def on_page_markdown(
        self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files
    ) -> str:
        markdown = words_of(page, self._composed, markdown)
        return with_notice(markdown, self._stopping) if uri_of(page.file) == HOME else markdown

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        return marked_language(page, self._composed, config, html)

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        return self._finishing.page(output, config, page)

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:
        if template_name.endswith(".html"):
            return self._finishing.page(output, config)
        dateless = self._date.fixed and template_name == "sitemap.xml"
        return without_dates(output) if dateless else output

    @event_priority(-200)  # after the plugin i18n, at -100, has built the other languages
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        if SiteLanguages.of(config).within_another:
            return
        self._memory.forget()
        if not self._serving:
            self._memory.save()
        self._update_watching()
        self._finishing.site(config)
        if self._beside and not will_abort(config):
            self._beside.publish()
        self._end()

    def on_build_error(self, *, error: Exception) -> None:
        if self._languages:
            self._languages.mend()
        self._end()

    def on_shutdown(self) -> None:
        self._memory.save()
        self._end()

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: object):
        self._serving = True  # `serve --clean` starts as a build
        self._watching = Watching(server, config.docs_dir)
        self._update_watching()
        return server

    @property
    def _form(self) -> Form:
        if self.for_disk:
            return "disk"
        return "kept" if self.config.offline and not self._serving else "served"

    def _report(self, findings: Iterable[Finding], strict: bool) -> None:
        """Print findings, one line each as they are; errors stop a build, never the preview."""
        findings = list(findings)
        for finding in findings:
            print(finding, file=sys.stderr, flush=True)
        if not self._serving and stops(findings, strict):
            raise PluginError(count_line(findings))

    def _update_watching(self) -> None:
        if self._watching and self._composer and self._composer.surveyed:
            self._watching.update(self._composer.templates, self._composer.surveyed.files)

    def _end(self) -> None:
        if self._beside:
            self._beside.abandon()
        self._beside = None
        self._date.end()


def _composer(config: MkDocsConfig, options: KitdocsOptions) -> Composer:
    settings = Path(config.config_file_path) if config.config_file_path else None
    root = settings.parent if settings else Path.cwd()
    own = Path(options.templates) if options.templates else root / "site_templates"
    content, cache = Path(config.docs_dir), Path(options.cache)
    return Composer(root, content, own, cache, config.strict, options.release, settings)
