"""Rules that are kept while the files are read: what a file must be before it can be a kit."""

from kitdocs.rules.rule import Rule


def _reading(name: str, demand: str, example: str, source: str = "our own") -> Rule:
    return Rule(name, "Reading", demand, "", source, example)


READING = (
    _reading(
        "file-read",
        "every file that the kit names is there and is UTF-8 text",
        "stages: [stages/Base.md] while the file is called base.md",
    ),
    _reading(
        "yaml-syntax",
        "data files are YAML, with spaces for indents",
        "note: Warning: sharp edge (a second colon: quote the sentence)",
        "YAML 1.2.2",
    ),
    _reading(
        "yaml-duplicate",
        "a key, an id or a stage is written once",
        "parts: two entries called wheel-33",
        "YAML 1.2.2, section 3.2.1.3",
    ),
    _reading(
        "yaml-limits",
        "a file has no aliases, anchors or tags, and its size and depth are bounded",
        "stack: *lay (write the stack itself)",
    ),
    _reading("key-unknown", "only keys that exist are used", "teeht: 33 (did you mean 'teeth'?)"),
    _reading("key-missing", "every key that is needed is there", "a wheel without its module"),
    _reading(
        "value",
        "values are of the kind that the key asks for",
        "bore: 6,05 (data files use a decimal point)",
    ),
    _reading(
        "name-unknown",
        "every name used is the name of something",
        "meshes: [[lay-eart, earth-wheel]] (did you mean 'lay-earth'?)",
    ),
    _reading(
        "step-facts",
        "each step of a stage page has one block of actions that exist, and each use of a "
        "procedure gives each of its slots an item",
        "fitt: earth-wheel (did you mean 'fit'?)",
    ),
    _reading(
        "procedure",
        "each procedure is used by a stage, and each of its slots by one of its steps",
        "procedures/add-planet.md, which no stage uses",
    ),
)
