"""How fine: a bar weighed in water, a cornet, a bead, a result entered; karat, fineness and percent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from refinekit.bench.dissolve import make_shares
from refinekit.bench.fields import Field, Room, refuse_strange
from refinekit.bench.fineness_sums import cornet_fineness, grade_of_bead, mixture_density
from refinekit.bench.fineness_water import by_water
from refinekit.bench.lot_metals import karat_of, lowest_lawful_fineness
from refinekit.bench.place import Place
from refinekit.bench.pot import Pot
from refinekit.bench.step import Step
from refinekit.bench.work import Work
from refinekit.errors import BadQuantity, CannotFollow
from refinekit.ranges import Number, Range, high, likely, low

METHODS = ("fire", "xrf", "water")
FIELDS = (
    Field("fineness", "fineness", "", "a result entered, or a karat to turn into fineness: 585, 14 K, 58.5 %", highest=1.0),
    Field("method", "choice", "", "how that result was got", choices=METHODS),
    Field("stamp", "fineness", "", "what is stamped on the goods, to see whether it is lawful", highest=1.0),
    Field("unsoldered", "flag", "", "there is no solder in the goods"),
    Field("make", "text", "", "a make, to see its density: 583/104/313 or a name"),
    Field("air", "mass", "g", "weight in air", above_zero=True),
    Field("water", "mass", "g", "weight hanging in water"),
    Field("water-temperature", "temperature", "C", "temperature of the water; left out, that of the shop"),
    Field("scale-step", "mass", "g", "least step the scale shows", above_zero=True),
    Field("thread", "length", "mm", "diameter of the thread it hangs by", above_zero=True),
    Field("thread-wet", "length", "mm", "length of thread under water", above_zero=True),
    Field("bubble", "length", "mm", "diameter of a bubble that clings", above_zero=True),
    Field("air-buoyancy", "flag", "", "count the buoyancy of air"),
    Field("alloy", "choice", "", "what the rest is, where it is known", choices=("copper", "silver", "nickel", "palladium")),
    Field("sample", "mass", "mg", "bullion or ore taken for the assay", above_zero=True),
    Field("cornet", "mass", "mg", "parted gold cornet"),
    Field("proof", "mass", "mg", "fine gold of the proof", above_zero=True),
    Field("proof-cornet", "mass", "mg", "cornet of the proof"),
    Field("dore", "mass", "mg", "bead before parting, gold and silver"),
    Field("silver-added", "mass", "mg", "silver put to it for the parting"),
    Field("bead", "mass", "mg", "gold bead of an ore or sweeps assay"),
    Field("weight", "mass", "g", "weight of the bar, for its fine gold", above_zero=True),
)


def run(pots: Sequence[Pot] = (), *, place: Place | None = None, **told: Any) -> Step:
    """Say how fine a bar is, and how surely.

    Args:
        pots: none are taken
        place: the shop; its temperature stands in for the water's
        told: weights, cornets or results, see FIELDS
    Returns: Step with density, fineness and its bracket, karat, percent, fine gold
    Raises: CannotFollow, nothing to go on, or a water weight too small to tell; OutOfRange, BadQuantity
    Source: mixture rule; water by Kell (1975); facts/practice/fineness.toml
    """
    refuse_strange("fineness", told, {field.arg for field in FIELDS})
    work = Work("fineness", place=place)
    _refuse_two_ways(told)
    titles = []
    for there, way in (
        ("air_g" in told or "water_g" in told, by_water),
        ("cornet_g" in told, _by_cornet),
        ("bead_g" in told, _by_bead),
        ("make" in told, _by_make),
        ("fineness" in told, _entered),
    ):
        if there:
            titles.append(way(work, told))
    if not titles:
        raise CannotFollow("there is nothing to tell a fineness by", cure="give --fineness 14K, or --air 25.000g --water 23.650g")
    return work.done(None, title=", ".join(titles))


def _refuse_two_ways(told: Mapping[str, Any]) -> None:
    ways = {"weighing in water": "air_g", "a cornet": "cornet_g", "a result": "fineness"}
    used = [way for way, name in ways.items() if name in told]
    if len(used) > 1:
        raise BadQuantity(
            f"the fineness is told by {' and by '.join(used)}", cure="tell it one way at a time, and set them side by side"
        )


def say_fineness(work: Work, told: Mapping[str, Any], found: Number, error: float, name: str = "fineness") -> None:
    """Answer a fineness as parts per thousand, karat and percent, one standard error either way, and the fine gold of a weight.

    Args:
        work: the step
        told: may hold `weight_g`, `stamp`
        found: fineness [-]
        error: one standard error [-]
        name: what it is called [text]
    """
    because = "parts of gold in a thousand"
    work.answer(name, 1000 * found, "per thousand", sized_on="low to sell by", because=because)
    work.answer("karat", karat_of(found), "karat", because="fineness x 24")
    work.answer("percent", 100 * found, "%", because="fineness as percent")
    if error > 0:
        near = Range(max(low(found) - error, 0.0), likely(found), max(min(high(found) + error, 1.0), likely(found)))
        work.answer(
            "fineness_one_sigma", near * 1000, "per thousand", sized_on="low to sell by", because="one standard error either way"
        )
    weight = told.get("weight_g", told.get("air_g"))
    if weight is not None:
        work.answer("fine_gold", weight * found, "g", sized_on="low to sell by", because="weight x fineness")
    if "stamp" in told:
        _lawful(work, told, found)


def _lawful(work: Work, told: Mapping[str, Any], found: Number) -> None:
    """Whether goods hold their stamp, by the law of the United States."""
    soldered = not told.get("unsoldered", False)
    least = lowest_lawful_fineness(told["stamp"], soldered=soldered)
    kind = "soldered" if soldered else "unsoldered"
    under = work.fact(f"materials.stamp.{kind}_under")
    work.answer(
        "lowest_lawful", 1000 * least, "per thousand", because=f"stamp less {under.value:g} for {kind} goods (15 USC 295)"
    )
    holds = likely(found) >= likely(least) - 1e-12
    work.say(
        "verdict",
        f"{1000 * likely(found):.4g} {'holds' if holds else 'does not hold'} its stamp, {1000 * likely(least):.4g} at least",
    )


def _entered(work: Work, told: Mapping[str, Any]) -> str:
    found = told["fineness"]
    method = told.get("method")
    error = work.fact(f"practice/fineness.method.{method}").value if method else 0.0
    if high(found) > 1:
        raise BadQuantity(f"a fineness of {1000 * high(found):.4g} is more than all", cure="write 585, 58.5 % or 14 K")
    say_fineness(work, told, found, error)
    work.working(
        "karat",
        "fineness x 24",
        f"{likely(found):.5g} x 24",
        f"{likely(karat_of(found)):.4g} karat",
        "materials.stamp.karat_parts",
    )
    if method == "xrf":
        work.say("watch for", "it sees the skin only: pickled, plated or enriched metal reads too fine; file a notch")
    return f"{1000 * likely(found):.4g} fine"


# ---- fire assay
def _by_cornet(work: Work, told: Mapping[str, Any]) -> str:
    sample, cornet = _need(told, "sample_g", "cornet_g", "--sample 500mg --cornet 498.2mg")
    if ("proof_g" in told) != ("proof_cornet_g" in told):
        raise BadQuantity("a proof and its cornet go together", cure="as in --proof 500mg --proof-cornet 500.4mg")
    proof, proof_cornet = told.get("proof_g", 0.0), told.get("proof_cornet_g", 0.0)
    found = cornet_fineness(sample, cornet, proof, proof_cornet)
    with_proof = "proof_g" in told
    most_g = high(sample) * (1 + work.fact("practice/fineness.cornet_over").value)
    if high(found) > 1 + work.fact("practice/fineness.cornet_silver").value or high(cornet) > most_g:
        raise BadQuantity(
            f"a cornet of {1000 * high(cornet):.6g} mg out of {1000 * low(sample):.6g} mg of bullion is more gold than metal",
            cure="was the cornet weighed with its silver, or the sample and the cornet swapped?",
        )
    found = np.minimum(found, 1.0) if np.ndim(found) else min(likely(found), 1.0)
    error = work.fact(f"practice/fineness.method.{'fire' if with_proof else 'fire_without_proof'}").value
    say_fineness(work, told, found, error)
    if with_proof:
        work.answer(
            "proof_loss",
            1000 * (proof - proof_cornet),
            "mg",
            because="fine gold less its cornet; under nothing where silver stayed",
        )
    else:
        work.assume("no proof beside it: silver that stays and gold that goes are not corrected")
    work.working(
        "fineness",
        "(cornet + proof - proof cornet) / sample",
        f"({1000 * likely(cornet):.6g} + {1000 * likely(proof):.6g} - {1000 * likely(proof_cornet):.6g}) mg"
        f" / {1000 * likely(sample):.6g} mg",
        f"{1000 * likely(found):.5g} per thousand",
    )
    if "dore_g" in told:
        _silver(work, told, sample, cornet)
    return f"cornet of {1000 * likely(cornet):.5g} mg"


def _silver(work: Work, told: Mapping[str, Any], sample: Number, cornet: Number) -> None:
    """Silver by difference, base metal as what is left."""
    silver = told["dore_g"] - told.get("silver_added_g", 0.0) - cornet
    if low(silver) < 0:
        raise BadQuantity(
            f"the bead is {-1000 * low(silver):.4g} mg lighter than its cornet and the silver added",
            cure="check --dore, --silver-added and --cornet: the bead holds both",
        )
    work.answer(
        "silver_fineness", 1000 * silver / sample, "per thousand", because="bead less silver added less cornet, over sample"
    )
    base = np.maximum(sample - silver - cornet, 0.0) / sample
    work.answer("base_fineness", 1000 * base, "per thousand", because="what is neither gold nor silver")


def _by_bead(work: Work, told: Mapping[str, Any]) -> str:
    sample, bead = _need(told, "sample_g", "bead_g", "--sample 1AT --bead 0.850mg")
    if high(bead) > low(sample):
        raise BadQuantity("the bead is heavier than the sample", cure="was the sample told in mg, and meant in g?")
    per_t, per_ton = grade_of_bead(bead, sample)
    work.answer("grade", per_t, "g/t", sized_on="low to pay on", because="bead over sample")
    work.answer("ounces_per_short_ton", per_ton, "oz t/short ton", because="milligrams to the assay ton")
    work.working(
        "grade",
        "bead / sample",
        f"{1000 * likely(bead):.4g} mg / {likely(sample):.6g} g",
        f"{likely(per_t):.4g} g/t, {likely(per_ton):.4g} oz t to the short ton",
    )
    return f"bead of {1000 * likely(bead):.4g} mg"


def _need(told: Mapping[str, Any], first: str, second: str, example: str) -> tuple[Number, Number]:
    for name in (first, second):
        if name not in told:
            raise BadQuantity(f"{name.removesuffix('_g').replace('_', ' ')} is missing", cure=f"give both, as in {example}")
    return told[first], told[second]


# ---- a make
def _by_make(work: Work, told: Mapping[str, Any]) -> str:
    shares = make_shares(str(told["make"]))
    found = mixture_density(dict(shares))
    over = work.fact("practice/fineness.water.rule_over").value
    work.answer("density_by_make", found, "g/mL", because="one over the sum of share over density")
    near = Range(float(found) / (1 + over), float(found), float(found))
    work.answer("density_cast", near, "g/mL", sized_on="low", because="cast alloys come out up to 2 % lighter than the rule")
    work.working(
        "density by make-up",
        "1 / sum of (share / density)",
        "1 / (" + " + ".join(f"{share:.4g}/{metal}" for metal, share in shares.items()) + ")",
        f"{float(found):.5g} g/mL",
    )
    if "fineness" not in told and "gold" in shares and not {"air_g", "cornet_g"} & told.keys():
        say_fineness(work, told, shares["gold"], 0.0)
    return str(told["make"])


def choose(pots: Sequence[Pot]) -> tuple[Pot, ...]:
    """A fineness takes no pots: a bar is weighed, not worked."""
    return ()


ROOM = Room("fineness", run, FIELDS, choose, "refinekit fineness --air 31.20g --water 29.50g --water-temperature 20C")
"""The verb of fineness."""
