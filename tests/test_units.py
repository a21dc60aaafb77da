"""What a person may type for a quantity, and the figure it comes to."""

import pytest

from refinekit.errors import BadQuantity, UnknownName
from refinekit.units import KINDS, read

SP811 = "NIST SP 811 (2008), B.8"
HB44 = "NIST Handbook 44, App. C"


def likely(text, kind, **options):
    return read(text, kind, name="--it", **options).range.likely


def ends(text, kind, **options):
    found = read(text, kind, name="--it", **options).range
    return found.low, found.likely, found.high


@pytest.mark.parametrize(
    ("text", "kind", "printed"),
    [
        pytest.param("1 oz t", "mass", 31.1034768, id=f"troy ounce, {HB44}, exact"),
        pytest.param("1 lb", "mass", 453.59237, id=f"avoirdupois pound, {HB44}, exact"),
        pytest.param("1 oz av", "mass", 28.349523125, id=f"avoirdupois ounce, {HB44}, exact"),
        pytest.param("1 grain", "mass", 0.06479891, id=f"grain, {HB44}, exact"),
        pytest.param("1 dwt", "mass", 1.55517384, id=f"pennyweight, {HB44}, exact"),
        pytest.param("1 lb t", "mass", 373.2417216, id=f"troy pound, {HB44}, exact"),
        pytest.param("1 US gal", "volume", 3.785411784, id=f"US gallon, {HB44}, exact"),
        pytest.param("1 US qt", "volume", 0.946352946, id=f"US liquid quart, {HB44}, exact"),
        pytest.param("1 US pt", "volume", 0.473176473, id=f"US liquid pint, {HB44}, exact"),
        pytest.param("1 in", "length", 0.0254, id=f"inch, {HB44}, exact"),
        pytest.param("1 ft", "length", 0.3048, id=f"foot, {HB44}, exact"),
        pytest.param("1 sq in", "area", 6.4516, id=f"square inch, {HB44}, exact"),
        pytest.param("1 sq ft", "area", 929.0304, id=f"square foot, {HB44}, exact"),
    ],
)
def test_exact_units_come_out_exact(text, kind, printed):
    assert likely(text, kind) == printed


@pytest.mark.parametrize(
    ("text", "kind", "printed", "last_digit"),
    [
        pytest.param("1 AT", "mass", 29.16667, 5e-6, id=f"assay ton, {SP811}"),
        pytest.param("1 short ton", "mass", 907184.7, 0.05, id=f"short ton, {SP811}"),
        pytest.param("1 long ton", "mass", 1016047, 0.5, id=f"long ton, {SP811}"),
        pytest.param("1 fl oz", "volume", 0.02957353, 5e-9, id=f"US fluid ounce, {SP811}"),
        pytest.param("1 imperial gallon", "volume", 4.54609, 0, id=f"imperial gallon, {SP811}"),
        pytest.param("1 uin", "length", 2.54e-8, 0, id=f"microinch, {SP811}"),
        pytest.param("1 mil", "length", 2.54e-5, 0, id=f"mil, {SP811}"),
        pytest.param("1 mmHg", "pressure", 133.3224, 5e-5, id=f"millimetre of mercury, conventional, {SP811}"),
        pytest.param("1 inHg", "pressure", 3386.389, 5e-4, id=f"inch of mercury, conventional, {SP811}"),
        pytest.param("1 torr", "pressure", 133.3224, 5e-5, id=f"torr, {SP811}"),
        pytest.param("1 psi", "pressure", 6894.757, 5e-4, id=f"psi, {SP811}"),
        pytest.param("1 atm", "pressure", 101325, 0, id=f"standard atmosphere, {SP811}"),
        pytest.param("1 cfm", "flow", 28.31684, 1e-5, id=f"cubic foot per minute as 4.719474E-04 m3/s, {SP811}"),
        pytest.param("1 ft/min", "speed", 5.08e-3, 0, id=f"foot per minute, {SP811}"),
        pytest.param("1 kcal", "energy", 4.184, 0, id=f"thermochemical kilocalorie, {SP811}"),
        pytest.param("1 kWh", "energy", 3600, 0, id=f"kilowatt hour, {SP811}"),
        pytest.param("1 hp", "power", 745.6999, 5e-5, id=f"horsepower of 550 ft lbf/s, {SP811}, through Pint"),
        pytest.param("1 day", "time", 86400, 0, id=f"day, {SP811}"),
        pytest.param("1 mg/g", "grade", 1.0, 0, id="a gram in a kilogram, by prefixes"),
        pytest.param("1 oz t/short ton", "grade", 0.03428571, 5e-9, id=f"3.110348E-02 kg over 9.071847E+02 kg, {SP811}"),
    ],
)
def test_units_meet_their_printed_figures(text, kind, printed, last_digit):
    assert likely(text, kind) == pytest.approx(printed, rel=1e-15, abs=last_digit)


@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        ("0 C", 273.15),
        ("18 degC", 291.15),
        ("18 °C", 291.15),
        ("18\u2009℃", 291.15),
        ("32 F", 273.15),
        ("212 degF", 373.15),
        ("-40 F", 233.15),
        ("−40 C", 233.15),
        ("300 K", 300),
    ],
)
def test_temperatures_start_where_their_scale_starts(text, kelvin):
    assert likely(text, "temperature") == kelvin


@pytest.mark.parametrize(
    ("text", "kind", "three"),
    [
        ("2.5/4/6 g", "mass", (2.5, 4, 6)),
        ("1.6 / 2.1 / 2.6 g", "mass", (1.6, 2.1, 2.6)),
        ("2 g/3 g/4 g", "mass", (2, 3, 4)),
        ("900 mg / 1 g / 0.05 oz t", "mass", (0.9, 1, 1.55517384)),
        ("20/30/50 uin", "thickness", (0.508, 0.762, 1.27)),
        ("1850 / 1980 / 2100 cm2", "area", (1850, 1980, 2100)),
        ("15/18/25 C", "temperature", (288.15, 291.15, 298.15)),
        ("-5/0/5 °C", "temperature", (268.15, 273.15, 278.15)),
        ("1.5/2/2.5 L/min", "flow", (1.5, 2, 2.5)),
        ("1 L/min / 2 L/min / 3 L/min", "flow", (1, 2, 3)),
        ("60/68/70 %", "share", (0.6, 0.68, 0.7)),
        ("375/585/1000", "fineness", (0.375, 0.585, 1)),
        ("400/585/750 /1000", "fineness", (0.4, 0.585, 0.75)),
        ("3/5/10", "count", (3, 5, 10)),
        ("4/4/4 g", "mass", (4, 4, 4)),
        ("1 oz t 2 dwt / 1 oz t 4 dwt / 2 oz t", "mass", (34.21382448, 37.32417216, 62.2069536)),
    ],
)
def test_low_likely_high_is_read_with_one_unit_or_with_three(text, kind, three):
    assert ends(text, kind) == three


def test_one_value_is_low_likely_and_high():
    assert ends("80 g", "mass") == (80, 80, 80)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("3 oz t 7 dwt", 104.19664728),  # 3 x 31.1034768 + 7 x 1.55517384
        ("1 lb 4 oz", 566.9904625),  # 1.25 x 453.59237
        ("2 kg 300 g", 2300),
        ("1 oz t 3 dwt 5 gr", 36.09299287),  # 31.1034768 + 4.66552152 + 0.32399455
    ],
)
def test_mixed_weights_add_up(text, grams):
    assert likely(text, "mass") == pytest.approx(grams, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "kind", "base"),
    [
        ("80g", "mass", 80),
        ("  80 g \n", "mass", 80),
        ("+80 g", "mass", 80),
        (".5 g", "mass", 0.5),
        ("5. g", "mass", 5),
        ("1e3 mg", "mass", 1),
        ("5\u00a0kg", "mass", 5000),
        ("5 KG", "mass", 5000),
        ("5 Grams", "mass", 5),
        ("2 short tons", "mass", 1814369.48),
        ("250 ml", "volume", 0.25),
        ("250 cc", "volume", 0.25),
        ("1 m³", "volume", 1000),
        ("3 cm^2", "area", 3),
        ("3 cm**2", "area", 3),
        ("3 sq. in", "area", 19.3548),
        ("0.76 µm", "thickness", 0.76),
        ("0.76 μm", "thickness", 0.76),
        ("0.76 microns", "thickness", 0.76),
        ("30 µin", "thickness", 0.762),
        ("1 mil", "thickness", 25.4),
        ("0.03 in", "thickness", 762),
        ("2 L per min", "flow", 2),
        ("2 LPM", "flow", 2),
        ("6 m3/h", "flow", 100),
        ("1 m3/s", "flow", 60000),
        ("500 mL/min", "flow", 0.5),
        ("1.16 g/cm3", "density", 1.16),
        ("1160 kg/m3", "density", 1.16),
        ("2 M", "concentration", 2),
        ("250 mmol/L", "concentration", 0.25),
        ("5 mg/L", "mass_concentration", 0.005),
        ("1 g/mL", "mass_concentration", 1000),
        ("250 g/t", "grade", 0.25),
        ("40 mg/kg", "grade", 0.04),
        ("3 mL/g", "hold", 3),
        ("3 L/kg", "hold", 3),
        ("100 fpm", "speed", 0.508),
        ("90 min", "time", 5400),
        ("2 weeks", "time", 1209600),
        ("1.5 kW", "power", 1500),
        ("0.5 mol", "amount", 0.5),
        ("-30 m", "length", -30),
        ("-250 kJ", "energy", -250),
        ("24 pcs", "count", 24),
    ],
)
def test_the_ways_people_write_it(text, kind, base):
    assert likely(text, kind) == base


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("14 K", 14 / 24),
        ("14 kt", 14 / 24),
        ("14 karat", 14 / 24),
        ("24K", 1),
        ("585", 0.585),
        ("999.9", 0.9999),
        ("0.585", 0.585),
        ("58.5 %", 0.585),
        ("585 fine", 0.585),
        (".997 fine", 0.997),
        ("585/1000", 0.585),
        ("585 per thousand", 0.585),
        ("585 in 1000", 0.585),
        ("585 ‰", 0.585),
    ],
)
def test_fineness_by_karat_by_stamp_and_by_percent(text, share):
    assert likely(text, "fineness") == share


@pytest.mark.parametrize(
    ("text", "share"), [("68 %", 0.68), ("0.68", 0.68), ("680 /1000", 0.68), ("680 per 1000", 0.68), ("0", 0), ("1", 1)]
)
def test_shares(text, share):
    assert likely(text, "share") == share


@pytest.mark.parametrize(
    ("text", "sum_of_money", "currency"),
    [
        ("12.50", 12.5, ""),
        ("$12.50", 12.5, "$"),
        ("US$ 12", 12, "US$"),
        ("12 EUR", 12, "EUR"),
        ("EUR 12", 12, "EUR"),
        ("€12", 12, "€"),
    ],
)
def test_money_keeps_its_currency(text, sum_of_money, currency):
    found = read(text, "money", name="--paid")
    assert (found.range.likely, found.unit) == (sum_of_money, currency)


@pytest.mark.parametrize(
    ("text", "kind", "unit", "base", "said"),
    [
        ("2.1", "mass", "g", 2.1, "--it 2.1 read as 2.1 g"),
        ("2.5/4/6", "mass", "kg", 4000, "--it 2.5/4/6 read as 2.5/4/6 kg"),
        ("18", "temperature", "C", 291.15, "--it 18 read as 18 C"),
        ("14", "fineness", "K", 14 / 24, "--it 14 read as 14 K"),
        ("68", "share", "%", 0.68, "--it 68 read as 68 %"),
        ("0.68", "share", None, 0.68, "--it 0.68 read as a share of 1 (68 %)"),
        ("585", "fineness", None, 0.585, "--it 585 read as parts per thousand"),
        ("3 oz", "mass", None, 85.048569375, "--it 3 oz read with oz as avoirdupois ounces (oz t is troy)"),
        ("10 gr", "mass", None, 0.6479891, "--it 10 gr read with gr as grains (g is grams)"),
        ("2 gal", "volume", None, 7.570823568, "--it 2 gal read in US measure"),
        ("2 stone", "mass", None, 12700.58636, "--it 2 stone read as 12701 g"),
    ],
)
def test_what_is_taken_as_given_is_told(text, kind, unit, base, said):
    found = read(text, kind, name="--it", unit=unit)
    assert found.range.likely == pytest.approx(base, rel=1e-12)
    assert found.assumed == said


@pytest.mark.parametrize(
    ("text", "kind"), [("2.1 g", "mass"), ("1.4 oz t", "mass"), ("24", "count"), ("12.50", "money"), ("2 US gal", "volume")]
)
def test_nothing_is_assumed_where_all_is_said(text, kind):
    assert read(text, kind, name="--it").assumed is None


def test_a_decimal_comma_is_read_only_where_asked_for():
    assert ends("1,5/2,25/3 g", "mass", decimal_comma=True) == (1.5, 2.25, 3)
    with pytest.raises(BadQuantity, match="a comma may be a decimal mark"):
        read("1,5 g", "mass", name="--it")


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda kind: kind.name)
def test_every_example_a_cure_gives_is_read(kind):
    for text in kind.examples:
        found = read(text, kind.name, name="--it")
        assert found.range.low <= found.range.likely <= found.range.high
        assert found.base == kind.base


def test_a_reading_keeps_what_was_typed():
    found = read(" 1.4 oz t", "mass", name="--weight")
    assert (found.text, found.unit, found.base) == (" 1.4 oz t", "oz t", "g")


def test_a_kind_nobody_knows_names_the_nearest():
    with pytest.raises(UnknownName, match=r"'masss' is not a kind of quantity\n  Try: did you mean 'mass'\?"):
        read("1 g", "masss", name="--it")
