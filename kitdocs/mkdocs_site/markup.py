"""What finished pages still need to be HTML that everybody can use.

Style sheets of a page go into its head, the one place that HTML has for them
(https://html.spec.whatwg.org/multipage/semantics.html#the-style-element); Markdown can write them
into its body only. The theme's dialog for searching has no name, which people who hear a page need
(WCAG 2.2, 4.1.2): it takes the one of the field in it, which is in the page's language. The links
of headings have a title in English, whatever the page's language is (3.1.2).
"""

from __future__ import annotations

import re
from html import escape

from kitdocs.words.language import Language

_STYLE = re.compile(r"\s*<style>\n@page.*?</style>", re.DOTALL)
_DIALOG = 'data-md-component="search" role="dialog"'
_FIELD = re.compile(r'<input[^>]*\bclass="md-search__input"[^>]*\baria-label="([^"]*)"')

#: What the `toc` extension of Markdown calls the link of a heading, where a site has no other word.
_HEADING_LINK = re.compile(r'(<a class="headerlink" href="[^"]*" title=")Permanent link(?=")')


def mended(html: str) -> str:
    styles = "".join(_STYLE.findall(html))
    if styles:
        html = _STYLE.sub("", html).replace("</head>", f"{styles.strip()}\n</head>", 1)
    if field := _FIELD.search(html):
        html = html.replace(_DIALOG, f'{_DIALOG} aria-label="{field[1]}"', 1)
    return html


def heading_links_named(html: str, language: Language) -> str:
    """The content of a page, the title of its headings' links in its language."""
    name = escape(language.text("Permanent link"))
    return _HEADING_LINK.sub(lambda link: link[1] + name, html)
