"""Rules that are kept while the site is put together: every page has its own address."""

from kitdocs.rules.rule import Rule


def _publishing(name: str, demand: str, example: str) -> Rule:
    return Rule(name, "Reading", demand, "", "our own", example)


PUBLISHING = (
    _publishing("page-address", "no two pages or files are published at one address",
                "stage-1.md beside stage-1/index.md; a page of your own called parts.md"),
    _publishing("page-once", "the navigation names each page once",
                "nav: [quayside/, quayside/parts.md] (the kit's section holds its parts page)"),
    _publishing("page-published", "each published page of a kit carries the digest of its model",
                "a site built before the last change, or without the plugin (check --site)"),
    _publishing("template", "the templates of the site can be carried out",
                "a template of your own that asks for a name that is not given to it"),
)  # fmt: skip
