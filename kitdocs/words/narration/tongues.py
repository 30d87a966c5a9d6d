"""The spoken words of each language: its signs and its units. Common practice of each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Tongue:
    """The spoken words of one language. A unit has its forms for one, few, many, and fractions."""

    by: str  # M2.5 × 6
    over: str  # 33/61
    ratio: str  # 1:12
    to: str  # 5–8
    times: str  # 10×
    plus: str
    minus: str
    about: str
    units: dict[str, tuple[str, str, str, str]]


def _same(one: str, many: str = "") -> tuple[str, str, str, str]:
    many = many or one
    return one, many, many, many


TONGUES = {
    "en": Tongue(
        "by", "over", "to", "to", "times", "plus", "minus", "about",
        {
            "mm": _same("millimetre", "millimetres"), "cm": _same("centimetre", "centimetres"),
            "m": _same("metre", "metres"), "g": _same("gram", "grams"),
            "kg": _same("kilogram", "kilograms"), "ml": _same("millilitre", "millilitres"),
            "s": _same("second", "seconds"), "min": _same("minute", "minutes"),
            "h": _same("hour", "hours"), "d": _same("day", "days"),
            "N·m": _same("newton metre", "newton metres"), "°": _same("degree", "degrees"),
            "%": _same("per cent"), "°C": _same("degree Celsius", "degrees Celsius"),
            "V": _same("volt", "volts"), "mA": _same("milliamp", "milliamps"),
            "W": _same("watt", "watts"), "N": _same("newton", "newtons"),
            "l": _same("litre", "litres"), "\u00b5m": _same("micrometre", "micrometres"),
            "mm²": _same("square millimetre", "square millimetres"),
            "cm²": _same("square centimetre", "square centimetres"),
            "cm³": _same("cubic centimetre", "cubic centimetres"),
            "rpm": _same("turn a minute", "turns a minute"), "ppm": _same("part per million",
                                                                    "parts per million"),
        },
    ),
    "de": Tongue(
        "mal", "durch", "zu", "bis", "mal", "plus", "minus", "etwa",
        {
            "mm": _same("Millimeter"), "cm": _same("Zentimeter"), "m": _same("Meter"),
            "g": _same("Gramm"), "kg": _same("Kilogramm"), "ml": _same("Milliliter"),
            "s": _same("Sekunde", "Sekunden"), "min": _same("Minute", "Minuten"),
            "h": _same("Stunde", "Stunden"), "d": _same("Tag", "Tage"),
            "N·m": _same("Newtonmeter"), "°": _same("Grad"), "%": _same("Prozent"),
            "°C": _same("Grad Celsius"), "V": _same("Volt"), "mA": _same("Milliampere"),
            "W": _same("Watt"), "N": _same("Newton"), "l": _same("Liter"),
            "\u00b5m": _same("Mikrometer"), "mm²": _same("Quadratmillimeter"),
            "cm²": _same("Quadratzentimeter"), "cm³": _same("Kubikzentimeter"),
            "U/min": _same("Umdrehung in der Minute", "Umdrehungen in der Minute"),
            "ppm": _same("Millionstel"),
        },
    ),
    "pl": Tongue(
        "na", "przez", "do", "do", "razy", "plus", "minus", "około",
        {
            "mm": ("milimetr", "milimetry", "milimetrów", "milimetra"),
            "cm": ("centymetr", "centymetry", "centymetrów", "centymetra"),
            "m": ("metr", "metry", "metrów", "metra"), "g": ("gram", "gramy", "gramów", "grama"),
            "kg": ("kilogram", "kilogramy", "kilogramów", "kilograma"),
            "ml": ("mililitr", "mililitry", "mililitrów", "mililitra"),
            "s": ("sekunda", "sekundy", "sekund", "sekundy"),
            "min": ("minuta", "minuty", "minut", "minuty"),
            "h": ("godzina", "godziny", "godzin", "godziny"), "d": ("dzień", "dni", "dni", "dnia"),
            "N·m": ("niutonometr", "niutonometry", "niutonometrów", "niutonometra"),
            "°": ("stopień", "stopnie", "stopni", "stopnia"), "%": _same("procent", "procent"),
            "°C": ("stopień Celsjusza", "stopnie Celsjusza", "stopni Celsjusza",
                   "stopnia Celsjusza"),
            "V": ("wolt", "wolty", "woltów", "wolta"),
            "mA": ("miliamper", "miliampery", "miliamperów", "miliampera"),
            "W": ("wat", "waty", "watów", "wata"),
            "N": ("niuton", "niutony", "niutonów", "niutona"),
            "l": ("litr", "litry", "litrów", "litra"),
            "\u00b5m": ("mikrometr", "mikrometry", "mikrometrów", "mikrometra"),
            "mm²": ("milimetr kwadratowy", "milimetry kwadratowe", "milimetrów kwadratowych",
                    "milimetra kwadratowego"),
            "cm²": ("centymetr kwadratowy", "centymetry kwadratowe", "centymetrów kwadratowych",
                    "centymetra kwadratowego"),
            "cm³": ("centymetr sześcienny", "centymetry sześcienne", "centymetrów sześciennych",
                    "centymetra sześciennego"),
            "obr/min": ("obrót na minutę", "obroty na minutę", "obrotów na minutę",
                        "obrotu na minutę"),
            "ppm": ("część na milion", "części na milion", "części na milion", "części na milion"),
        },
    ),
}  # fmt: skip

#: The unit of a plane angle, and others that one sign has by several names.
SAME_UNITS = {"Nm": "N·m", "μm": "µm", "L": "l"}
