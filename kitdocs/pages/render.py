"""Templates to text: a sandboxed Jinja environment over the publisher's and our own folders."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from importlib.resources import files
from pathlib import Path
from typing import Any

from jinja2 import ChoiceLoader, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup, escape

from kitdocs.pages.charts import ChartCache
from kitdocs.pages.handbook import Ref
from kitdocs.pages.scripts import published_scripts
from kitdocs.words.language import ENGLISH, Language
from kitdocs.words.markup import literal
from kitdocs.words.numbers import numbers_in

Link = Callable[[str, str], str]


def shipped_templates() -> Path:
    """The folder of templates that comes with kitdocs: in the wheel, or in the source tree."""
    packaged = Path(str(files("kitdocs"))) / "site_templates"
    return packaged if packaged.is_dir() else packaged.parent.parent / "site_templates"


class Renderer:
    """Renders the templates of `folders`, the first folder that has a template winning, with
    their texts in a language.

    `link` gives the address from one page to another, both as paths from the content folder.
    Raises what Jinja raises, a `TemplateError`, for a template that cannot be carried out.
    """

    def __init__(
        self,
        folders: Iterable[Path],
        link: Link,
        charts: ChartCache,
        language: Language = ENGLISH,
    ):
        self._folders = tuple(folders)
        self._link = link
        self._environment = SandboxedEnvironment(
            bytecode_cache=_compiled(charts.folder.with_name("templates")),
            loader=ChoiceLoader([FileSystemLoader(folder) for folder in self._folders]),
            undefined=StrictUndefined,
            autoescape=True,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            extensions=["jinja2.ext.i18n"],
        )
        # An environment for each language, since macros see its globals alone. Compiled templates
        # ask for their texts as they run, so all languages share them.
        self._environment.install_gettext_callables(
            language.catalogue.gettext, language.catalogue.ngettext, newstyle=True
        )
        numbers = numbers_in(language)
        # `md`: text of the model in Markdown; `markdown`: what is Markdown already; `marked`: our
        # own sentences in HTML, whose `code` and *examples* are marked; `css`: a string of a sheet.
        self._environment.filters |= {
            "md": lambda text: Markup(literal(_plain(text))),
            "markdown": Markup,
            "marked": _marked,
            "number": numbers.plain,
            "day": numbers.date,
            "css": _css,
        }
        self._environment.globals["language"] = language.code
        self._environment.globals["chart"] = lambda chart: Markup(charts.svg(chart))

    def page(self, uri: str, template: str, **views: Any) -> str:
        """The Markdown of the page at `uri` by `pages/TEMPLATE.md.j2`."""

        def href(ref: Ref) -> str:
            return self._link(uri, f"{ref.uri}#{ref.anchor}" if ref.anchor else ref.uri)

        found = self._environment.get_template(f"pages/{template}.md.j2")
        return found.render(href=href, page=uri, **views).strip() + "\n"

    def block(self, template: str, **views: Any) -> str:
        """The HTML of `blocks/TEMPLATE.html.j2`, for any page."""
        return self._environment.get_template(f"blocks/{template}.html.j2").render(**views)

    def assets(self) -> dict[str, str | bytes]:
        """The files of the folders' `assets/`, by their address in the site."""
        found: dict[str, Path] = {}
        for folder in reversed(self._folders):
            for file in sorted((folder / "assets").rglob("*")):
                if file.is_file() and not file.name.startswith("."):
                    found[file.relative_to(folder).as_posix()] = file
        contents = {uri: file.read_bytes() for uri, file in sorted(found.items())}
        return {**published_scripts(contents, {uri: str(file) for uri, file in found.items()})}


def _compiled(folder: Path) -> FileSystemBytecodeCache | None:
    """Where compiled templates are kept, since compiling is most of a render's time."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return FileSystemBytecodeCache(str(folder))


def _plain(text: object) -> object:
    """A text without marks: one of a template (`_('…')`) is HTML, its names escaped already."""
    return text.unescape() if isinstance(text, Markup) else text


def _css(text: str) -> Markup:
    """A string of a style sheet, every sign that is no plain letter or digit escaped."""
    signs = str(_plain(text))
    plain_signs = (c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in signs)
    return Markup(f'"{"".join(plain_signs)}"')


def _marked(text: str) -> Markup:
    def code(match: re.Match[str]) -> str:
        # Texts in templates are markup already; what stands in code is meant letter for letter.
        return f"<code>{escape(Markup(match[1]).unescape())}</code>"

    html = re.sub(r"`([^`]+)`", code, str(escape(text)))
    return Markup(re.sub(r"\*([^*]+)\*", r"<em>\1</em>", html))
