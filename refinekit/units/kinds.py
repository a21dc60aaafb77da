"""The kinds of quantity, their base units, and the plain units of each with exact factors.

Factors are unit conversions, exact by definition and each derivable from the few named at the top:
NIST Handbook 44 (2024), Appendix C, and NIST SP 811 (2008), Appendix B.
"""

from __future__ import annotations

from dataclasses import field
from fractions import Fraction

from refinekit.errors import UnknownName
from refinekit.nearest import did_you_mean
from refinekit.record import record

POUND_G = Fraction("453.59237")  # avoirdupois pound, exact: HB 44 App. C; SP 811 B.8
GRAIN_G = POUND_G / 7000  # grain, exact: 64.79891 mg
TROY_OUNCE_G = 480 * GRAIN_G  # troy ounce, exact: 31.1034768 g, HB 44 App. C
SHORT_TON_G = 2000 * POUND_G
ASSAY_TON_G = SHORT_TON_G / TROY_OUNCE_G / 1000  # the grams in which 1 mg stands for 1 oz t in a short ton
INCH_M = Fraction("0.0254")  # inch, exact: SP 811 B.8
FOOT_M = 12 * INCH_M
GALLON_L = 231 * INCH_M**3 * 1000  # US gallon, exact: 231 cubic inches, 3.785411784 L, HB 44 App. C
IMPERIAL_GALLON_L = Fraction("4.54609")  # imperial gallon, exact: SP 811 B.8
CUBIC_FOOT_L = 1000 * FOOT_M**3
STANDARD_GRAVITY = Fraction("9.80665")  # m/s2, exact: SP 811 B.8, for the pound-force and the mercury columns
MERCURY_KG_M3 = Fraction("13595.1")  # conventional density of mercury in mmHg and inHg, exact by convention: SP 811 B.8
ATMOSPHERE_PA = Fraction(101325)  # exact by definition: SP 811 B.8
CALORIE_J = Fraction("4.184")  # thermochemical calorie, exact: SP 811 B.8
MILLI, MICRO = Fraction(1, 1000), Fraction(1, 10**6)


@record
class Unit:
    """A plain unit: how Pint calls it, its size, how people write it.

    Args:
        pint: the same unit in Pint's grammar [text]
        factor: base units in one [-]
        spellings: ways of writing it, first the usual one
        shift: added to a figure before the factor [that unit]; for temperatures
    """

    pint: str
    factor: Fraction
    spellings: tuple[str, ...]
    shift: Fraction = Fraction(0)


@record
class Kind:
    """A kind of quantity.

    Args:
        name: what `read` calls it [text]
        what: what it is in a sentence, with its article [text]
        base: unit of the plain figure [text]; "" for a plain number or a share
        pint: the base unit in Pint's grammar; "" where Pint is not asked
        examples: right texts of this kind
        units: its plain units
        ratio: kinds above and below the line where it is one over the other, and base units in one of these
        nonnegative: whether it cannot be under zero by nature
    """

    name: str
    what: str
    base: str
    pint: str
    examples: tuple[str, ...]
    units: tuple[Unit, ...] = ()
    ratio: tuple[str, str, Fraction] | None = None
    nonnegative: bool = True
    spelled: dict[str, Unit] = field(init=False, repr=False, compare=False)
    folded: dict[str, Unit] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        spelled = {spelling: unit for unit in self.units for spelling in unit.spellings}
        object.__setattr__(self, "spelled", spelled)
        object.__setattr__(self, "folded", {spelling.lower(): unit for spelling, unit in spelled.items()})

    @property
    def example(self) -> str:
        """Right texts of this kind, as a cure gives them."""
        return self.example_in(self.base)

    def example_in(self, unit: str | None) -> str:
        """Right texts of this kind, of the size of what is told in a unit: a room is no beaker.

        Args:
            unit: unit a bare number takes [text]; None for none
        """
        *first, last = EXAMPLES_IN.get((self.name, unit or ""), self.examples)
        return f"{', '.join(first)} or {last}"


EXAMPLES_IN = {
    ("volume", "m3"): ("45 m3", "1600 cu ft", "40/45/50 m3"),
    ("flow", "m3/min"): ("12 m3/min", "400 cfm", "10/12/14 m3/min"),
    ("length", "mm"): ("0.5 mm", "0.02 in", "0.4/0.5/0.6 mm"),
    ("mass", "kg"): ("80 kg", "150 lb", "60/80/90 kg"),
    ("mass", "mg"): ("500 mg", "0.5 g", "480/500/520 mg"),
}
"""Right texts by kind and unit, where what is told in that unit is of another size than the kind's usual examples."""


def _unit(pint: str, factor: Fraction | int, spellings: str, shift: str = "0") -> Unit:
    return Unit(pint, Fraction(factor), tuple(spellings.split(", ")), Fraction(shift))


MASS = (
    _unit("gram", 1, "g, gram, gramme, gm"),
    _unit("kilogram", 1000, "kg, kilo, kilogram"),
    _unit("milligram", MILLI, "mg, milligram"),
    _unit("microgram", MICRO, "ug, mcg, microgram"),
    _unit("tonne", 10**6, "t, tonne, metric ton"),
    _unit("troy_ounce", TROY_OUNCE_G, "oz t, ozt, toz, oz tr, t oz, oz troy, troy oz, troy ounce"),
    _unit("pennyweight", 24 * GRAIN_G, "dwt, pennyweight"),
    _unit("grain", GRAIN_G, "grain, gr"),
    _unit("troy_pound", 12 * TROY_OUNCE_G, "lb t, lbt, troy lb, lb troy, troy pound"),
    _unit("ounce", POUND_G / 16, "oz, oz av, oz avdp, av oz, ounce, avoirdupois ounce"),
    _unit("pound", POUND_G, "lb, lbs, lb av, lb avdp, pound, avoirdupois pound"),
    _unit("short_ton", SHORT_TON_G, "short ton, US ton"),
    _unit("long_ton", 2240 * POUND_G, "long ton, UK ton"),
    _unit("assay_ton", ASSAY_TON_G, "assay ton, AT"),
)
VOLUME = (
    _unit("liter", 1, "L, l, litre, liter, dm3"),
    _unit("milliliter", MILLI, "mL, ml, millilitre, milliliter, cm3, cc, cu cm"),
    _unit("centiliter", Fraction(1, 100), "cL, cl, centilitre, centiliter"),
    _unit("deciliter", Fraction(1, 10), "dL, dl"),
    _unit("microliter", MICRO, "uL, ul, microlitre, microliter"),
    _unit("meter ** 3", 1000, "m3, cu m, cubic metre, cubic meter"),
    _unit("gallon", GALLON_L, "US gal, gal, US gallon, gallon"),
    _unit("quart", GALLON_L / 4, "US qt, qt, US quart, quart"),
    _unit("pint", GALLON_L / 8, "US pt, pt, US pint, pint"),
    _unit("fluid_ounce", GALLON_L / 128, "US fl oz, fl oz, floz, US fluid ounce, fluid ounce"),
    _unit("imperial_gallon", IMPERIAL_GALLON_L, "UK gal, imp gal, imperial gallon, UK gallon"),
    _unit("foot ** 3", CUBIC_FOOT_L, "ft3, cu ft, cubic foot, cubic feet"),
    _unit("inch ** 3", 1000 * INCH_M**3, "in3, cu in, cubic inch, cubic inches"),
)
AMOUNT = (
    _unit("mole", 1, "mol, mole"),
    _unit("millimole", MILLI, "mmol, millimole"),
    _unit("micromole", MICRO, "umol, micromole"),
    _unit("kilomole", 1000, "kmol, kilomole"),
)
AREA = (
    _unit("centimeter ** 2", 1, "cm2, sq cm, square cm"),
    _unit("millimeter ** 2", Fraction(1, 100), "mm2, sq mm, square mm"),
    _unit("meter ** 2", 10**4, "m2, sq m, square metre, square meter"),
    _unit("decimeter ** 2", 100, "dm2, sq dm"),
    _unit("inch ** 2", (100 * INCH_M) ** 2, "in2, sq in, square inch, square inches"),
    _unit("foot ** 2", (100 * FOOT_M) ** 2, "ft2, sq ft, square foot, square feet"),
)
LENGTH = (
    _unit("meter", 1, "m, metre, meter"),
    _unit("centimeter", Fraction(1, 100), "cm, centimetre, centimeter"),
    _unit("millimeter", MILLI, "mm, millimetre, millimeter"),
    _unit("kilometer", 1000, "km, kilometre, kilometer"),
    _unit("micrometer", MICRO, "um, micron, micrometre, micrometer"),
    _unit("inch", INCH_M, "in, inch, inches"),
    _unit("foot", FOOT_M, "ft, foot, feet"),
    _unit("nanometer", MICRO * MILLI, "nm, nanometre, nanometer"),
    _unit("microinch", MICRO * INCH_M, "uin, u in, microinch, microinches, micro inch"),
    _unit("thou", MILLI * INCH_M, "mil, thou"),
)
THICKNESS = tuple(Unit(unit.pint, unit.factor / MICRO, unit.spellings) for unit in LENGTH)
TEMPERATURE = (
    _unit("degree_Celsius", 1, "C, degC, °C, deg C, ° C, ℃, celsius, degrees C", "273.15"),
    _unit("degree_Fahrenheit", Fraction(5, 9), "F, degF, °F, deg F, ° F, ℉, fahrenheit, degrees F", "459.67"),
    _unit("kelvin", 1, "K, kelvin"),
)
PRESSURE = (
    _unit("pascal", 1, "Pa, pascal"),
    _unit("hectopascal", 100, "hPa"),
    _unit("kilopascal", 1000, "kPa"),
    _unit("megapascal", 10**6, "MPa"),
    _unit("standard_atmosphere", ATMOSPHERE_PA, "atm, atmosphere"),
    _unit("bar", 10**5, "bar"),
    _unit("millibar", 100, "mbar, mb, millibar"),
    _unit("millimeter_Hg", MILLI * MERCURY_KG_M3 * STANDARD_GRAVITY, "mmHg, mm Hg"),
    _unit("torr", ATMOSPHERE_PA / 760, "torr"),
    _unit("inch_Hg", INCH_M * MERCURY_KG_M3 * STANDARD_GRAVITY, "inHg, in Hg"),
    _unit("pound_force_per_square_inch", POUND_G / 1000 * STANDARD_GRAVITY / INCH_M**2, "psi"),
)
TIME = (
    _unit("second", 1, "s, sec, second"),
    _unit("minute", 60, "min, minute"),
    _unit("hour", 3600, "h, hr, hrs, hour"),
    _unit("day", 86400, "d, day"),
    _unit("week", 604800, "wk, week"),
)
ENERGY = (
    _unit("kilojoule", 1, "kJ, kilojoule"),
    _unit("joule", MILLI, "J, joule"),
    _unit("megajoule", 1000, "MJ, megajoule"),
    _unit("watt_hour", Fraction(36, 10), "Wh"),
    _unit("kilowatt_hour", 3600, "kWh, kilowatt hour"),
    _unit("kilocalorie", CALORIE_J, "kcal, kilocalorie"),
    _unit("calorie", CALORIE_J / 1000, "cal, calorie"),
)
SHARE = (
    _unit("percent", Fraction(1, 100), "%, percent, per cent, pct"),
    _unit("permille", MILLI, "per thousand, ‰, per mille, permille, fine"),
)
KARAT = (_unit("karat", Fraction(1, 24), "K, k, kt, ct, karat, carat"),)
MONEY_LEAD = r"(?:[A-Z]{0,3}[$£€¥₹]|[A-Z]{3}(?![A-Za-z]))"
"""A currency before the figure: a sign, a sign with letters, or a code of three capitals."""

KINDS = {
    kind.name: kind
    for kind in (
        Kind("mass", "a mass", "g", "gram", ("80 g", "1.4 oz t", "2.5/4/6 g"), MASS),
        Kind("volume", "a volume", "L", "liter", ("250 mL", "2 L", "1.5/2/2.5 L"), VOLUME),
        Kind("amount", "an amount of substance", "mol", "mole", ("0.5 mol", "20 mmol", "1/1.2/1.5 mol"), AMOUNT),
        Kind("area", "an area", "cm2", "centimeter ** 2", ("1980 cm2", "300 sq in", "1850/1980/2100 cm2"), AREA),
        Kind("length", "a length", "m", "meter", ("18 cm", "7 in", "16/18/20 cm"), LENGTH, nonnegative=False),
        Kind("thickness", "a thickness", "micron", "micrometer", ("0.76 micron", "30 uin", "0.4/0.76/1 micron"), THICKNESS),
        Kind("temperature", "a temperature", "K", "kelvin", ("18 C", "65 F", "15/18/25 C"), TEMPERATURE),
        Kind("pressure", "a pressure", "Pa", "pascal", ("101.3 kPa", "1013 mbar", "29.9 inHg"), PRESSURE),
        Kind("time", "a time", "s", "second", ("10 min", "2 days", "6/7/9 h"), TIME),
        Kind(
            "flow",
            "a flow",
            "L/min",
            "liter / minute",
            ("2 L/min", "11 m3/min", "1.5/2/2.5 L/min"),
            (_unit("cfm", CUBIC_FOOT_L, "cfm"), _unit("lpm", 1, "lpm")),
            ("volume", "time", Fraction(60)),
        ),
        Kind(
            "concentration",
            "a concentration",
            "mol/L",
            "mole / liter",
            ("2 mol/L", "250 mmol/L", "1/1.2/1.5 mol/L"),
            (_unit("molar", 1, "M, molar"), _unit("millimolar", MILLI, "mM"), _unit("micromolar", MICRO, "uM")),
            ("amount", "volume", Fraction(1)),
        ),
        Kind(
            "mass_concentration",
            "a mass in a volume",
            "g/L",
            "gram / liter",
            ("80 g/L", "5 mg/L", "70/80/95 g/L"),
            ratio=("mass", "volume", Fraction(1)),
        ),
        Kind(
            "density",
            "a density",
            "g/mL",
            "gram / milliliter",
            ("1.16 g/mL", "1160 kg/m3", "1.14/1.16/1.18 g/mL"),
            ratio=("mass", "volume", MILLI),
        ),
        Kind(
            "grade",
            "a grade",
            "g/kg",
            "gram / kilogram",
            ("3 g/kg", "250 g/t", "2/3/4 g/kg"),
            (_unit("ppm", MILLI, "ppm"),),
            ("mass", "mass", Fraction(1000)),
        ),
        Kind("share", "a share", "", "", ("68 %", "0.68", "60/68/70 %"), SHARE),
        Kind("fineness", "a fineness", "", "", ("14 K", "585", "58.5 %", "560/575/585"), (*KARAT, *SHARE)),
        Kind(
            "speed",
            "a speed",
            "m/s",
            "meter / second",
            ("0.5 m/s", "100 ft/min", "80/100/120 fpm"),
            (_unit("fpm", FOOT_M / 60, "fpm"),),
            ("length", "time", Fraction(1)),
        ),
        Kind(
            "power",
            "a power",
            "W",
            "watt",
            ("1500 W", "1.5 kW", "1000/1500/2000 W"),
            (_unit("watt", 1, "W, watt"), _unit("kilowatt", 1000, "kW, kilowatt")),
        ),
        Kind("energy", "an energy", "kJ", "kilojoule", ("250 kJ", "0.5 kWh", "200/250/300 kJ"), ENERGY, nonnegative=False),
        Kind(
            "hold",
            "a liquid held by a solid",
            "mL/g",
            "milliliter / gram",
            ("3 mL/g", "2/3/5 mL/g"),
            ratio=("volume", "mass", Fraction(1000)),
        ),
        Kind("money", "a sum of money", "", "", ("12.50", "$12.50", "12.50 EUR"), nonnegative=False),
        Kind("count", "a plain number", "", "", ("24", "1.5", "3/5/10"), nonnegative=False),
    )
}
"""Every kind by its name."""

PLAIN = ("share", "fineness", "money", "count")
"""Kinds whose figure may stand without a unit."""


def kind_called(name: str) -> Kind:
    """A kind by its name.

    Args:
        name: a key of KINDS [text]
    Raises: UnknownName, with the nearest name
    """
    if name not in KINDS:
        raise UnknownName(f"{name!r} is not a kind of quantity", cure=did_you_mean(name, KINDS))
    return KINDS[name]
