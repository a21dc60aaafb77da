"""A bottle of solution: its strength in every form the trade writes, its density, and what diluting or mixing it gives.

A `Solution` is at 20 C. Baume and specific gravity are the American scales, 60 F over water at 60 F. Trade grades (20 Be
hydrochloric and the like) are facts, taken exactly as the trade means them; any other figure goes by the density tables.
"""

from __future__ import annotations

from typing import cast

import numpy as np

from refinekit.chemistry import heat, strength
from refinekit.chemistry.density import density_table, g_per_ml, water_g_per_ml
from refinekit.chemistry.species import molar_mass
from refinekit.errors import OutOfRange, UnknownName
from refinekit.facts.load import fact
from refinekit.ranges import Number, likely
from refinekit.record import record


@record
class Solution:
    """A liquor of one solute, at 20 C.

    Args:
        solute: formula [text], e.g. "HCl"
        mass_fraction: grams of solute in a gram of liquor [-]; 0 (water) to 1, float or array over cases
        density_g_per_ml: density at 20 C [g/mL]
        label: how the strength was written [text], e.g. "20 Be"
    """

    solute: str
    mass_fraction: Number
    density_g_per_ml: Number
    label: str = ""

    @classmethod
    def of(cls, solute: str, form: str, value: Number, temperature_k: Number | None = None) -> Solution:
        """The solution a label, a hydrometer or a titration speaks of.

        Args:
            solute: formula or name [text]: "HCl", "muriatic acid"
            form: one of strength.UNITS [text]
            value: the figure in that form; above 0, float or array. For "parts", volumes of water to one volume of the usual
                bottle, 0 and up
            temperature_k: temperature of a reading of "baume", "sg" or "density" [K]; left out, 60 F, 60 F and 20 C
        Returns: the solution at 20 C
        Raises: OutOfRange, a strength that does not exist; UnknownName, form or solute
        Source: facts/densities; trade grades of Ferguson's tables

        >>> Solution.of("HCl", "baume", 20).percent_ww
        31.45
        """
        fraction, density = strength.read(solute, form, value, temperature_k)
        return cls(density_table(solute).solute, fraction, density, strength.written(form, value))

    @classmethod
    def usual(cls, solute: str) -> Solution:
        """The bottle meant when nobody said which.

        Args:
            solute: formula or name [text]
        Raises: UnknownName, no bottle of it is usual
        Source: the shelf, facts/reagents.toml
        """
        return cls.of(solute, *strength.usual_label(solute))

    @property
    def percent_ww(self) -> Number:
        """Strength by weight [% w/w]."""
        return self.mass_fraction * 100

    @property
    def g_per_l(self) -> Number:
        """Grams of solute in a litre at 20 C [g/L]."""
        return 1000 * self.density_g_per_ml * self.mass_fraction

    @property
    def mol_per_l(self) -> Number:
        """Moles of solute in a litre at 20 C [mol/L]."""
        return self.g_per_l / molar_mass(self.solute)

    @property
    def percent_wv(self) -> Number:
        """Grams of solute in 100 mL [% w/v]."""
        return self.g_per_l / 10

    @property
    def sg(self) -> Number:
        """Specific gravity, 60 F over water at 60 F [-]; a trade grade's own where this is one."""
        at_60f = self.at(strength.kelvin_60f()).density_g_per_ml / water_g_per_ml(strength.kelvin_60f())
        for row in density_table(self.solute).trade:
            grade = np.isclose(self.percent_ww, row["percent"]) & np.isclose(self.density_g_per_ml, row["sg"])
            at_60f = strength.plain(np.where(grade, row["sg"], at_60f))
        return at_60f

    @property
    def baume(self) -> Number:
        """Degrees Baume, American scale for what is heavier or lighter than water [degrees]."""
        return strength.sg_to_baume(self.sg)

    def in_form(self, form: str) -> Number:
        """The strength as a form of strength.UNITS writes it.

        Args:
            form: one of strength.UNITS but "parts" [text]; "volumes" for peroxide, "trade_percent" for hypochlorite
        Raises: UnknownName, the form says nothing of this solute
        """
        plain = ("percent_ww", "percent_wv", "baume", "sg", "mol_per_l", "g_per_l")
        if form in plain:
            return cast(Number, getattr(self, form))
        if form == "density":
            return self.density_g_per_ml
        if form == "volumes" and self.solute == "H2O2":
            return self.mol_per_l * strength.volumes_per_mol()
        if form == "trade_percent" and self.solute == "NaOCl":
            return self.mol_per_l * strength.trade_percent_per_mol()
        raise UnknownName(f"{form!r} says nothing of {self.solute}", cure=f"one of {', '.join(plain)}, density")

    def at(self, temperature_k: Number) -> Solution:
        """The same liquor warmer or colder: it takes more or less room, its weight strength stays.

        Args:
            temperature_k: temperature [K]; 273.15 to 373.15
        Raises: OutOfRange, not a temperature a liquor is measured at
        """
        swing = g_per_ml(self.solute, self.percent_ww, temperature_k) / g_per_ml(self.solute, self.percent_ww)
        return Solution(self.solute, self.mass_fraction, self.density_g_per_ml * swing, self.label)


def water(solute: str) -> Solution:
    """Plain water, as the weakest solution of a solute."""
    known = density_table(solute)
    return Solution(known.solute, 0.0, float(known.g_per_ml[0]), "water")


# ---- diluting and mixing
@record
class Mixture:
    """What two liquors of one solute make.

    Args:
        solution: the mixed liquor
        volume_l: litres it fills at 20 C [L]
        volume_if_added_l: litres, had the volumes just added [L]
        solute_mol: solute in it [mol]
        heat_kj: heat given out [kJ]; 0 where `heat_known` is false
        rise_k: how much warmer it gets if no heat is lost [K]
        heat_known: whether the heats of this solute are tabled
    """

    solution: Solution
    volume_l: Number
    volume_if_added_l: Number
    solute_mol: Number
    heat_kj: Number
    rise_k: Number
    heat_known: bool

    @property
    def mol_per_l_if_added(self) -> Number:
        """Strength, had the volumes just added [mol/L]."""
        return self.solute_mol / self.volume_if_added_l

    @property
    def shrinks_ml(self) -> Number:
        """How much less room the mixture takes than its parts [mL]; under 0 where it swells."""
        return 1000 * (self.volume_if_added_l - self.volume_l)


@record
class Dilution:
    """How to make a weaker liquor: measure `take_ml` into most of `water_ml`, then make up to `volume_l`.

    Args:
        strong: the bottle it is made from
        target: what it becomes
        volume_l: litres to make [L]
        take_ml: of the strong liquor, to measure out [mL]
        water_ml: water it takes in all [mL]
        mixture: heat, rise and shrinkage
    """

    strong: Solution
    target: Solution
    volume_l: Number
    take_ml: Number
    water_ml: Number
    mixture: Mixture


def dilute(strong: Solution, target: Solution, volume_l: Number) -> Dilution:
    """What to measure out for a weaker liquor: the weight of solute stays, each volume is reckoned with its own density.

    Args:
        strong: the bottle in hand
        target: the liquor wanted, of the same solute: Solution.of("HCl", "mol_per_l", 3)
        volume_l: litres wanted [L]; above 0, float or array
    Returns: Dilution [mL to measure, mL of water, heat and rise]
    Raises: OutOfRange, the target is stronger than the bottle, of another solute, or nothing is wanted
    Source: m1 w1 = m2 w2; facts/densities; heats as `mix`
    """
    if strong.solute != target.solute:
        raise OutOfRange(f"{strong.solute} cannot be diluted to {target.solute}", cure="give a target of the same solute")
    if np.any(np.greater(target.mass_fraction, strong.mass_fraction)):
        raise OutOfRange(
            f"{likely(strong.percent_ww):.4g} % cannot be diluted to {likely(target.percent_ww):.4g} %",
            cure="ask for a weaker liquor, or take a stronger bottle",
        )
    if not np.all(np.isfinite(volume_l) & np.greater(volume_l, 0)):
        raise OutOfRange(f"{likely(volume_l):.4g} L is no volume to make", cure="give litres above 0, as in 1 L")
    target_g = 1000 * volume_l * target.density_g_per_ml
    strong_g = target_g * target.mass_fraction / strong.mass_fraction
    take_ml = strong_g / strong.density_g_per_ml
    water_ml = (target_g - strong_g) / water(strong.solute).density_g_per_ml
    mixture = mix(strong, take_ml / 1000, water(strong.solute), water_ml / 1000)
    return Dilution(strong, target, volume_l, take_ml, water_ml, mixture)


def mix(a: Solution, volume_a_l: Number, b: Solution, volume_b_l: Number) -> Mixture:
    """Pour two liquors of one solute (one may be `water`) together.

    Args:
        a: first liquor
        volume_a_l: litres of it at 20 C [L]; 0 and up
        b: second liquor, of the same solute
        volume_b_l: litres of it at 20 C [L]; 0 and up, not both 0
    Returns: Mixture; volumes by the density table, and as if they just added
    Raises: OutOfRange, two solutes, or nothing to mix
    Source: facts/densities; heats of dilution in facts/enthalpy.toml (Thomsen for sulfuric acid)
    """
    if a.solute != b.solute:
        raise OutOfRange(f"{a.solute} and {b.solute} are not one liquor", cure="mix liquors of one solute")
    if np.any(np.less(volume_a_l, 0)) or np.any(np.less(volume_b_l, 0)) or np.any(np.less_equal(volume_a_l + volume_b_l, 0)):
        raise OutOfRange("there is nothing to mix", cure="give litres above 0")
    grams = [1000 * volume * liquor.density_g_per_ml for liquor, volume in ((a, volume_a_l), (b, volume_b_l))]
    solute_g = grams[0] * a.mass_fraction + grams[1] * b.mass_fraction
    fraction = solute_g / (grams[0] + grams[1])
    density = strength.plain(g_per_ml(a.solute, fraction * 100))
    mol = solute_g / molar_mass(a.solute)
    known = heat.dilution_known(a.solute)
    parts_mol = [g * liquor.mass_fraction / molar_mass(a.solute) for g, liquor in zip(grams, (a, b), strict=True)]
    heat_kj: Number = 0.0
    if known:
        left = [n * heat.dilution_heat(a.solute, liquor.mass_fraction) for n, liquor in zip(parts_mol, (a, b), strict=True)]
        heat_kj = left[0] + left[1] - mol * heat.dilution_heat(a.solute, fraction)
    rise = 1000 * heat_kj / ((grams[0] + grams[1]) * heat.liquor_heat_capacity(a.solute, fraction))
    made = Solution(a.solute, fraction, density, f"{likely(fraction * 100):.4g} %")
    litres = (grams[0] + grams[1]) / density / 1000
    return Mixture(made, litres, volume_a_l + volume_b_l, mol, heat_kj, rise, known)


# ---- is it what the label says?
@record
class Disagreement:
    """A label beside a hydrometer.

    Args:
        expected_g_per_ml: density the label's strength should have [g/mL]
        measured_g_per_ml: density read [g/mL]
        relative: how far the reading is off [-]; above 0 where it is denser
        wrong_bottle: whether that is more than a label or a hydrometer can be out
    """

    expected_g_per_ml: Number
    measured_g_per_ml: Number
    relative: Number
    wrong_bottle: bool


def disagreement(label: Solution, measured_g_per_ml: Number, temperature_k: Number | None = None) -> Disagreement:
    """Whether a bottle's measured density fits the strength on its label.

    Args:
        label: the strength on the label
        measured_g_per_ml: density read [g/mL]; above 0
        temperature_k: temperature of the reading [K]; 273.15 to 373.15; left out, 20 C
    Returns: Disagreement [g/mL and relative difference]
    Raises: OutOfRange, not a temperature a liquor is measured at
    Source: facts/densities; limit 1 %, common practice, no source
    """
    expected = label.density_g_per_ml if temperature_k is None else label.at(temperature_k).density_g_per_ml
    relative = measured_g_per_ml / expected - 1
    return Disagreement(
        expected, measured_g_per_ml, relative, bool(np.any(np.abs(relative) > fact("practice/solution.wrong_bottle").value))
    )


def looks_like(measured_g_per_ml: float) -> tuple[Solution, ...]:
    """Liquors on a shop's shelf that have a density, the likeliest first.

    Args:
        measured_g_per_ml: density at 20 C [g/mL]; above 0
    Returns: solutions of that density, nearest to its usual bottle first; none where nothing fits
    Source: facts/densities
    """
    found = []
    for solute in strength.usual_bottles():
        try:
            liquor = Solution.of(solute, "density", measured_g_per_ml)
        except OutOfRange:
            continue
        found.append((abs(likely(liquor.percent_ww) / likely(Solution.usual(solute).percent_ww) - 1), liquor))
    return tuple(liquor for _, liquor in sorted(found, key=lambda pair: pair[0]))
