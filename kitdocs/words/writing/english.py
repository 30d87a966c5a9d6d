"""What an English instruction is made of: the verbs of the bench, conditions, and who follows.

Word lists instead of a grammar: an instruction begins with its verb, and the verbs of a bench are
few. A verb that is a noun too (*oil*, *turn*) is taken for a verb only where it has an object.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.kit.stage import ACTIONS


def words(text: str) -> frozenset[str]:
    """A list of words that is easily read."""
    return frozenset(text.split())


#: Verbs that are hardly ever anything else at the head of a sentence.
_CLEAR = words(
    """adjust align apply ask assemble attach avoid begin bend blow bring choose clean close compare
    connect cut deburr degrease detach discard do ensure fasten feed find finish fix follow get give
    go grasp hang heat hold identify insert install join keep lay leave let lift listen loosen lower
    lubricate make measure mix move observe open pick polish pour prepare pull push put raise read
    reassemble refit remove repeat replace return rinse roll rotate sand see separate shake show
    slacken slide smear solder soak sort spin spread squeeze stir straighten swap take tie tighten
    tilt tip trim try tuck turn undo unfold unpack unplug unscrew unwind unwrap use verify wait wash
    watch wear weigh wipe wrap write"""
)
#: Verbs that are nouns as well.
_NOUNS_TOO = words(
    """aim brush burnish call centre check clamp click count cover cross draw drill drive drop dry
    ease empty feel file fill fit flip glue grease grip guide hammer hand hook knock level look mark
    mesh note oil pack place plug press prime print prop rest rock screw seat set split stand start
    stop store strike support swing tap test thread tighten touch trace turn twist view walk warm
    wind work"""
)
VERBS = _CLEAR | _NOUNS_TOO | {verb.split("-")[0] for verb in ACTIONS}

#: What follows a verb that could be a noun.
_OBJECT = (
    r"(?:the|an?|each|every|all|both|either|one|two|three|four|five|six|seven|eight|nine|ten|\d+"
    r"|it|its|them|their|this|that|these|those|your|any|no|nothing|another|some|only|on|off|back"
    r"|down|up|out|in|over|together|to|until|along|from|away|round|around|through|against|into"
    r"|onto|with|at|again|when|if|only|slowly|by|freely|there|here|for|across)\b"
)
_FOLLOWED = re.compile(rf"\s+{_OBJECT}", re.IGNORECASE)
#: Verbs that are adjectives too: `the collar, level with the end`.
_ADJECTIVE = re.compile(r"(?:level with|square (?:to|with)|clear of)\b", re.IGNORECASE)
_FIRST = re.compile(
    r"(?:(?:then|now|next|first|finally|please|always|never|also)\b,?\s+)*"
    r"(?P<no>(?:do not|don['’]t)\s+)?(?P<verb>[A-Za-z]+)",
    re.IGNORECASE,
)
_CONDITION = re.compile(
    r"(?:if|when|whenever|once|unless|while|before|after|until|as soon as|as|where|wherever|to|with"
    r"|without|for|in|on|at|from|during|by)\b",
    re.IGNORECASE,
)
_SECOND = re.compile(
    r"(?:,?\s+and(?:\s+then)?|,\s+then|;(?:\s+then)?|,)\s+(?P<verb>[a-z]+)", re.IGNORECASE
)


def command(text: str) -> re.Match[str] | None:
    """The verb (group `verb`) of a sentence that is an instruction; None for any other."""
    first = _FIRST.match(text)
    return first if first and (first["no"] or _is_verb(text, first)) else None


def has_lead(text: str) -> bool:
    """Whether a sentence begins with a condition or a setting: *If*, *Before*, *With the key*."""
    return _CONDITION.match(text) is not None


def command_after_lead(text: str) -> re.Match[str] | None:
    """The instruction that follows the comma of a leading condition."""
    comma = text.find(",")
    rest = text[comma + 1 :] if comma >= 0 else ""
    return command(rest.lstrip()) if has_lead(text) else None


def is_instruction(text: str) -> bool:
    return command(text) is not None or command_after_lead(text) is not None


def further_commands(text: str) -> Iterator[re.Match[str]]:
    """The verbs after the first that begin another instruction in the sentence."""
    for second in _SECOND.finditer(text):
        if _is_verb(text, second):
            yield second


def _is_verb(text: str, match: re.Match[str]) -> bool:
    verb = match["verb"].lower()
    if verb not in VERBS or _ADJECTIVE.match(text, match.start("verb")):
        return False
    rest = text[match.end("verb") :]
    return verb in _CLEAR or _FOLLOWED.match(rest) is not None or not rest.strip(" .!:")
