"""A pot as a command or a person wrote it, checked key by key, before its ranges are laid over worlds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from refinekit.bench.pot import Event
from refinekit.bench.work import pot_form
from refinekit.chemistry.species import parse
from refinekit.facts.load import fact, table
from refinekit.ranges import Range
from refinekit.shop.pot_figures import Figure, bad, figure_at, kind_of, known_keys, number_at, shown, species_in, texts_at
from refinekit.shop.worlds import MOST_CASES

LONGEST_NAME = 80
SECTIONS = ("dissolved_mol", "solids_mol")
KEYS = ("name", "volume_l", "temperature_c", *SECTIONS, "inert_g", "history", "marks", "cases", "balance")


@dataclass(slots=True)
class Draft:
    """A pot as it is written, checked figure by figure but not yet laid over worlds.

    Args:
        where: how it is called in messages
        data: what is written
        figures: by section and species as written ("" for volume and inert mass)
        cases: the worlds of figures, by the same keys
        by_hand: whether a person wrote it, as far as can be told: what only a step leaves behind is not taken from them
    """

    where: str
    data: Mapping[str, Any]
    figures: dict[tuple[str, str], Figure] = field(default_factory=dict)
    cases: dict[tuple[str, str], NDArray[np.float64]] = field(default_factory=dict)
    by_hand: bool = False


def draft_of(data: object, where: str) -> Draft:
    """A written pot, checked.

    Args:
        data: as a command or a person wrote it
        where: how it is called in messages
    Raises: BadFile
    """
    if not isinstance(data, dict):
        bad(f"{where} is {kind_of(data)}, not a pot", 'a pot is written {"name": ..., "volume_l": ..., "dissolved_mol": {...}}')
    known_keys(data, KEYS, where)
    name = data.get("name")
    if not isinstance(name, str) or not name.strip() or len(name) > LONGEST_NAME:
        said = "empty or too long" if isinstance(name, str) else kind_of(name)
        bad(f"{where}.name is {said}", f'give a name of 1 to {LONGEST_NAME} letters, as in "bath"')
    draft = Draft(where, data, by_hand="history" not in data)
    for key, most in (("volume_l", "largest_volume"), ("inert_g", "largest_amount")):
        draft.figures[key, ""] = figure_at(data.get(key, 0.0), f"{where}.{key}", most)
    for section in SECTIONS:
        for species, value, at in species_in(data.get(section, {}), f"{where}.{section}"):
            _fits(section, species, at, draft)
            draft.figures[section, species] = figure_at(value, at, "largest_amount")
    _read_cases(draft)
    told = draft.by_hand or _most(draft.figures.get((SECTIONS[0], "H2O"), 0.0)) > 0
    if told and not _most(draft.figures["volume_l", ""]) and any(key[0] == SECTIONS[0] for key in draft.figures):
        bad(f"{where}.volume_l is not told, yet something is dissolved", 'say how much liquor there is: "volume_l": 0.5')
    return draft


def _most(figure: Figure) -> float:
    return figure.high if isinstance(figure, Range) else figure


def _fits(section: str, species: str, at: str, draft: Draft) -> None:
    """Refuse metal told as dissolved and ions told as solid."""
    made_of = parse(species)
    phases = {phase for phase, _, _ in pot_form(species)}
    if section == "dissolved_mol" and phases == {"solid"} and len(made_of.elements) == 1:
        element = next(iter(made_of.elements))
        held = [row["formula"] for row in table("species")["species"] if _holds(row, element)]
        bad(f"{at} is a solid", f"in solution it is {' or '.join(held[:3]) or 'an ion'}; as metal it goes under solids_mol")
    if section == "solids_mol" and made_of.charge:
        bad(f"{at} is an ion", "ions go under dissolved_mol; a solid is written whole, as in AgCl or Cu")
    if section == "solids_mol" and draft.by_hand and len(pot_form(species)) > 1:
        bad(f"{at} dissolves", "it goes under dissolved_mol, with the litres it is in")


def _holds(row: Mapping[str, Any], element: str) -> bool:
    return row["phase"] == "dissolved" and "ions" not in row and element in parse(row["formula"]).elements


def _read_cases(draft: Draft) -> None:
    cases = draft.data.get("cases", {})
    where = f"{draft.where}.cases"
    if not isinstance(cases, dict):
        bad(f"{where} is {kind_of(cases)}", "leave cases out, or take the pot as a command wrote it")
    known_keys(cases, ("volume_l", "inert_g", *SECTIONS), where)
    for key, value in cases.items():
        if key in SECTIONS:
            for species, worlds, at in species_in(value, f"{where}.{key}"):
                _take_worlds(draft, (key, species), worlds, at)
        else:
            _take_worlds(draft, (key, ""), value, f"{where}.{key}")
    if len({len(worlds) for worlds in draft.cases.values()}) > 1:
        bad(f"{where} has lists of several lengths", "leave cases out, or take the pot as a command wrote it")


def _take_worlds(draft: Draft, key: tuple[str, str], worlds: object, at: str) -> None:
    told = draft.figures.get(key)
    if not isinstance(worlds, list) or not 1 < len(worlds) <= MOST_CASES:
        bad(f"{at} is no list of 2 to {MOST_CASES} numbers", "leave cases out, or take the pot as a command wrote it")
    numbers = np.array([number_at(one, f"{at}[{number}]") for number, one in enumerate(worlds)])
    span = told if isinstance(told, Range) else Range.point(told or 0.0)
    slack = 1e-9 * span.high
    if numbers[0] != span.likely or numbers.min() < span.low - slack or numbers.max() > span.high + slack:
        bad(f"{at} does not agree with the figure it is of", "cases go with the figures: change both, or leave cases out")
    draft.cases[key] = numbers


def kelvin_of(draft: Draft) -> float:
    """Its temperature [K]; the shop's where it is not told. Raises: BadFile."""
    zero_k = fact("constants.zero_celsius").value
    if "temperature_c" not in draft.data:
        return fact("constants.shop_temperature").value
    celsius = number_at(draft.data["temperature_c"], f"{draft.where}.temperature_c", "highest_temperature", least=-zero_k)
    if celsius + zero_k <= 0:
        bad(f"{draft.where}.temperature_c is {celsius:g}", "nothing is that cold: give degrees Celsius")
    return celsius + zero_k


def history_of(draft: Draft) -> tuple[Event, ...]:
    """What was done to it, oldest first. Raises: BadFile."""
    listed = draft.data.get("history", [])
    where = f"{draft.where}.history"
    if not isinstance(listed, list):
        bad(f"{where} is {kind_of(listed)}", 'write a list of {"step": "leach", "did": "added acid"}')
    return tuple(_event(one, f"{where}[{number}]") for number, one in enumerate(listed))


def _event(one: object, at: str) -> Event:
    if not isinstance(one, dict):
        bad(f"{at} is {kind_of(one)}", 'write {"step": "leach", "did": "added acid"}')
    known_keys(one, ("step", "did", "added_mol"), at)
    words = texts_at({key: one.get(key) for key in ("step", "did")}, at)
    added = one.get("added_mol", {})
    if not isinstance(added, dict):
        bad(f"{at}.added_mol is {kind_of(added)}", 'write formulas and moles, as in {"HCl": 2.4}')
    spans = {formula: figure_at(value, f"{at}.added_mol[{shown(formula)}]", "largest_amount") for formula, value in added.items()}
    return Event(
        words["step"], words["did"], {key: span if isinstance(span, Range) else Range.point(span) for key, span in spans.items()}
    )
