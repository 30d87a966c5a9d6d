"""Words after which a thing is where something is done, or when, and not what it is done to."""

from __future__ import annotations

import re
from collections.abc import Mapping

_PREPOSITIONS = {
    "en": "in|on|onto|into|over|under|below|above|at|by|for|from|of|off|with|without|round|around"
    "|through|to|towards|until|against|along|across|down|up|near|between|behind|before|after"
    "|beside|inside|outside|that|which|when|if|so|as|than",
    "de": "in|im|ins|an|am|ans|auf|aufs|aus|bei|beim|bis|durch|für|gegen|hinter|mit|nach|neben|ohne"
    "|um|unter|über|von|vom|vor|zu|zum|zur|zwischen|entlang|dass|wenn|damit|als",
    "pl": "na|w|we|z|ze|do|od|po|pod|nad|przez|przy|za|o|u|między|dla|bez|wokół|wzdłuż|aż|żeby|gdy"
    "|jeśli|aby|który|która|które",
}
#: By language.
PREPOSITION: Mapping[str, re.Pattern[str]] = {
    code: re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE)
    for code, words in _PREPOSITIONS.items()
}
