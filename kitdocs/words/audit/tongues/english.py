"""English as the audit reads it."""

from __future__ import annotations

import re

from kitdocs.words.audit.tongues.english_grammar import ENGLISH_GRAMMAR
from kitdocs.words.audit.tongues.english_roles import ENGLISH_ROLES
from kitdocs.words.audit.tongues.spoken import ENGLISH_FIRST, english
from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.number_words import ordinal


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


def _stem(word: str) -> str:
    return word.removesuffix("'s").removesuffix("’s")


_NOUNS = {
    key: forms.split()
    for key, forms in {
        "wheel": "wheel wheels pinion pinions",
        "worm": "worm worms",
        "pulley": "pulley pulleys",
        "arbor": "arbor arbors",
        "pipe": "pipe pipes",
        "post": "post posts",
        "rod": "rod rods",
        "hub": "hub hubs",
        "collet": "collet collets collar collars",
        "spacer": "spacer spacers sleeve sleeves",
        "bush": "bush bushes",
        "pillar": "pillar pillars",
        "foot": "foot feet",
        "knob": "knob knobs",
        "flange": "flange flanges",
        "washer": "washer washers",
        "plate": "plate plates",
        "dial": "dial dials",
        "arm": "arm arms",
        "hand": "hands",
        "ball": "ball balls",
        "screw": "screw screws",
        "nut": "nut nuts",
        "fastener": "fastener fasteners",
        "tooth": "tooth teeth",
        "hole": "hole holes bores threads",
        "step": "step steps",
        "stage": "stage stages",
        "parcel": "parcel parcels delivery deliveries",
        "planet": "planet planets",
        "pair": "pair pairs mesh meshes",
    }.items()
}
_UNITS = {
    ("mm", 1.0): "millimetre millimetres millimeter millimeters",
    ("mm", 10.0): "centimetre centimetres centimeter centimeters",
    ("mm", 25.4): "inch inches",
    ("deg", 1.0): "degree degrees",
    ("deg", 1 / 60): "arcminute arcminutes",
    ("%", 1.0): "percent per-cent",
    ("day", 1.0): "day days",
    ("day", 7.0): "week weeks",
    ("day", 30.436875): "month months",
    ("day", 365.25): "year years",
    ("day", 36525.0): "century centuries",
    ("day", 1 / 24): "hour hours",
    ("day", 1 / 1440): "minute minutes",
    ("day", 1 / 86400): "second seconds",
    ("g", 1.0): "gram grams gramme grammes",
    ("turn", 1.0): "turn turns revolution revolutions rotation rotations",
    ("times", 1.0): "times",
}
_FACTS = {
    ("length", "width", "depth", "reach"): "long length lengths longer",
    ("bore",): "bore bores bored",
    ("diameter", "outside", "size", "hub"): "diameter across dia wide",
    ("width", "face", "outside"): "width broad wide",
    ("thickness", "face", "height", "diameter"): "thick thickness",
    ("width", "depth"): "square",
    ("bore", "size"): "inside",
    ("outside", "diameter"): "outside",
    ("face",): "face",
    ("reach",): "reach reaches",
    ("depth", "shoulder"): "deep depth",
    ("shoulder",): "shoulder shoulders",
    ("distance",): "apart distance centres centers",
    ("size", "bore"): "hole holes",
    ("module",): "module",
    ("circle",): "circle",
    ("height", "length", "thickness"): "high height tall",
}

ENGLISH = Tongue(
    code="en",
    mark=".",
    spoken=english,
    first=ENGLISH_FIRST,
    nouns={form: key for key, forms in _NOUNS.items() for form in forms},
    units={word: unit for unit, words in _UNITS.items() for word in words.split()},
    facts=Tongue.table(_FACTS),
    references={
        **dict.fromkeys(("step", "steps"), "step"),
        **dict.fromkeys(("stage", "stages"), "stage"),
        **dict.fromkeys(("parcel", "parcels", "delivery", "deliveries"), "parcel"),
        **dict.fromkeys(("figure", "figures", "fig", "figs", "page", "pages"), "figure"),
        **dict.fromkeys(("section", "sections", "chapter", "drawing"), "figure"),
        **dict.fromkeys(("hole", "holes"), "hole"),
        **dict.fromkeys(("revision", "rev", "version"), "revision"),
        **dict.fromkeys(("month",), "month"),
    },
    ordinals={ordinal(n, "en"): n for n in range(1, 100)},
    about=_set("about around roughly approximately approx nearly almost some ca circa ~ ≈ c"),
    most=("within", "at most", "less than", "no more than", "up to", "under", "below"),
    least=("at least", "more than", "no less than", "over", "above"),
    stops=_set(
        "of on in into at to from with by for and or but the a an this that these those is are was"
        " as it its their there then than until till if when while which who through over under"
        " below above between near off onto out up down round along against must may can will"
        " do does go goes come comes have has had gives give takes take makes make needs need turns"
    )
    - {"turns"},
    partitive=_set("of"),
    articles=_set("a an one"),
    each=_set("each every per apiece other another next both"),
    joins=_set("to or and"),
    months=_set(
        "january february march april may june july august september october november december"
    ),
    tooth=re.compile(
        r"(?<![\w.,/])(\d+|[a-z]+(?:[ -](?:and|[a-z]+)){0,4}?)"
        r"(?:[ \u00a0\u2011-]*(?:tooth|teeth)|[\u2011-]toothed)\b",
        re.I,
    ),
    has=_set("has have"),
    says=_set("has have is are"),
    driver=re.compile("key|driver|spanner|wrench"),
    about_teeth=re.compile("tooth|teeth", re.I),
    stem=_stem,
    sorts={
        "bevel-wheel": re.compile(r"\bbevel"),
        "ring-wheel": re.compile(r"\bring wheel|\binternal"),
        "contrate-wheel": re.compile(r"\bcontrate"),
        "set-screw": re.compile(r"\bset\b|\bgrub\b"),
    },
    fractions={},
    grammar=ENGLISH_GRAMMAR,
    roles=ENGLISH_ROLES,
    same=(
        _set("wheel wheels gear gears gearwheel gearwheels cog cogs cogwheel cogwheels sprocket"),
        _set("screw screws bolt bolts"),
        _set("arbor arbors shaft shafts axle axles spindle spindles"),
        _set("pipe pipes tube tubes"),
        _set("washer washers shim shims"),
        _set("parcel parcels package packages shipment shipments consignment instalment"),
        _set("orrery planetarium planetary"),
        _set("mesh meshes engagement"),
        frozenset({"set screw", "set screws", "grub screw", "grub screws"}),
        frozenset(
            {"hex key", "hex keys", "allen key", "allen keys", "hexagon key", "allen wrench"}
        ),
        frozenset({"bevel wheel", "bevel wheels", "bevel gear", "bevel gears", "mitre wheel"}),
        frozenset({"crank handle", "crank handles", "winder", "winders"}),
    ),
)
