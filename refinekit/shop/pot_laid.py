"""From written pots to pots: ranges laid over worlds, salts taken apart, counter-ions filled in, charges checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from refinekit.bench.pot import Pot, charge_mol, merged
from refinekit.bench.work import pot_form
from refinekit.chemistry.species import molar_mass, parse
from refinekit.facts.load import fact
from refinekit.ranges import Number, Range, corners, high, low, spread, widen
from refinekit.shop.pot_drafts import Draft, history_of, kelvin_of
from refinekit.shop.pot_figures import bad, kind_of, species_of, texts_at
from refinekit.shop.worlds import thinned

SPECK_MOL = 1e-9
"""Charge below which a difference is dust of rounding, not a forgotten acid [mol]."""


def laid_over(drafts: Sequence[Draft], already: int) -> tuple[Pot, ...]:
    """Pots from drafts: ranges that have no cases are unknowns of their own, the ions of one pot moving together.

    Ions told as ranges keep their proportions from end to end, because a liquor whose copper is high and whose chloride is
    low does not exist; where `balance` fills in the counter-ion every ion may stand at either end by itself.
    """
    axes = {
        (number, key): _axis(number, key, draft)
        for number, draft in enumerate(drafts)
        for key, figure in draft.figures.items()
        if isinstance(figure, Range) and not figure.is_point and key not in draft.cases
    }
    names = dict.fromkeys(axes.values())
    turns = spread({name: Range(-1.0, 0.0, 1.0) for name in names}, already)
    own = len(corners(len(names)))

    def laid(number: int, key: tuple[str, str]) -> Number:
        figure = drafts[number].figures[key]
        if key in drafts[number].cases:
            return widen(drafts[number].cases[key], already, own)
        if not isinstance(figure, Range):
            return figure
        if figure.is_point:
            return figure.likely
        turn = np.asarray(turns[axes[number, key]]).astype(int)
        ends: Number = np.array([figure.low, figure.likely, figure.high])[turn + 1]
        return ends

    return thinned([_pot(draft, {key: laid(number, key) for key in draft.figures}) for number, draft in enumerate(drafts)])


def _axis(number: int, key: tuple[str, str], draft: Draft) -> str:
    section, species = key
    alone = section != "dissolved_mol" or not parse(species).charge or "balance" in draft.data
    return f"{number} {section} {species}" if alone else f"{number} ions"


def _pot(draft: Draft, figures: Mapping[tuple[str, str], Number]) -> Pot:
    dissolved = {species: amount for (section, species), amount in figures.items() if section == "dissolved_mol"}
    solids = {species: amount for (section, species), amount in figures.items() if section == "solids_mol"}
    whole = draft.by_hand or any(len(pot_form(species)) > 1 for species in dissolved)
    dissolved = merged(*(_as_ions(species, amount) for species, amount in dissolved.items()))
    if "balance" in draft.data:
        dissolved = _filled(draft, dissolved)
    if whole and high(figures["volume_l", ""]) > 0:
        dissolved.setdefault("H2O", figures["volume_l", ""] * 1000 / molar_mass("H2O"))
    _check_charge(draft, dissolved)
    return Pot(
        name=draft.data["name"],
        volume_l=figures["volume_l", ""],
        dissolved_mol=dissolved,
        solids_mol=solids,
        inert_g=figures["inert_g", ""],
        temperature_k=kelvin_of(draft),
        history=history_of(draft),
        marks=texts_at(draft.data.get("marks", {}), f"{draft.where}.marks"),
    )


def _as_ions(formula: str, amount: Number) -> dict[str, Number]:
    """A salt or acid named whole as the ions it lives as in a liquor."""
    parts: dict[str, Number] = {}
    for _, species, count in pot_form(formula):
        parts[species] = parts.get(species, 0.0) + count * amount
    return parts


def _filled(draft: Draft, dissolved: Mapping[str, Number]) -> dict[str, Number]:
    at = f"{draft.where}.balance"
    word = draft.data["balance"]
    ion = (
        species_of(word, at)
        if isinstance(word, str)
        else bad(f"{at} is {kind_of(word)}", 'name the ion to fill in: "balance": "Cl^-"')
    )
    charge = parse(ion).charge
    if not charge:
        bad(f"{at} is {ion}, which has no charge", 'name an ion: "balance": "Cl^-"')
    if ion in dissolved:
        bad(f"{at} is {ion}, which is told under dissolved_mol too", "leave one of the two out")
    missing = -charge_mol(dissolved.items()) / charge
    if low(missing) < 0:
        bad(
            f"{at}: {ion} cannot balance it, there is too much of its own sign",
            "balance by an ion of the other sign, or check the amounts",
        )
    return {**dissolved, ion: missing}


def _check_charge(draft: Draft, dissolved: Mapping[str, Number]) -> None:
    """Refuse a liquor whose charges do not meet: a forgotten acid or salt. Raises: BadFile, with the ion that would mend it."""
    charged = {species: amount for species, amount in dissolved.items() if parse(species).charge}
    up = charge_mol((species, amount) for species, amount in charged.items() if parse(species).charge > 0)
    down = -charge_mol((species, amount) for species, amount in charged.items() if parse(species).charge < 0)
    size = np.maximum(up, down)
    net = np.asarray(up - down)
    apart = np.abs(net) > np.maximum(fact("practice/show.pot.charge_tolerance").value * size, SPECK_MOL)
    if not np.any(apart):
        return
    worst = int(np.argmax(np.abs(net))) if net.ndim else 0
    short = float(net.reshape(-1)[worst])
    ion, what = (
        ("Cl^-", "a negative ion (chloride, nitrate, sulfate)")
        if short > 0
        else ("H^+", "a positive one (acid, a metal, sodium)")
    )
    bad(
        f"{draft.where}.dissolved_mol: charges do not meet by {abs(short):.3g} mol; {what} is missing",
        f'add {abs(short):.3g} mol of it, or let it be filled in: "balance": "{ion}"',
    )
