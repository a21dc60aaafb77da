"""Answers built by hand, for the looks to show: figures are made up except where a test says otherwise."""

import numpy as np

from refinekit.bench.place import Place
from refinekit.bench.pot import Event, Pot
from refinekit.bench.step import Answer, Gas, Notice, Reagent, Step, Stream, Table, Working
from refinekit.ranges import Range
from refinekit.show.document import Document

FUME = Notice(
    "warn",
    "nitrogen-dioxide",
    "brown fume: up to 0.99 L of nitrogen dioxide in about 10 min; lungs can fill 3 to 30 h later without warning",
    "hood or open air, never alone; see a doctor the same day even if well",
    "practice",
)
SAMPLE = Notice("note", "sample-before-buying", "the lot may hold half or twice this", "take a sample first", "practice")
CHLORINE = Notice(
    "stop", "chlorine", "bleach in acid gives off chlorine", "keep them apart", "practice", cause="rinse", may_override=True
)
LIFTED = Notice(
    "stop",
    "chlorine",
    "bleach in acid gives off chlorine",
    "keep them apart",
    "practice",
    may_override=True,
    reason="hood on, two of us",
)
PLACE = Place(temperature_k=291.15, pressure_pa=97200)

DISSOLVE = Step(
    name="dissolve",
    title="foils, 1.6 / 2.1 / 2.6 g gold",
    before=(Pot("foils", solids_mol={"Au": 0.0107}),),
    answers=(
        Answer("nitric_left", Range(0, 0.21, 2.13), "mL", "high gold, all as NO", "what was poured less what gold takes"),
        Answer("gold", Range(1.6, 2.1, 2.6), "g"),
        Answer("vessel", Range.point(250.0), "mL", "high gold, foam"),
    ),
    reagents=(
        Reagent("hydrochloric acid", Range(4.0, 5.31, 6.6), 12.1, "mL", "high gold", "x 2.3", "20 Be", key="hydrochloric"),
        Reagent("water", Range.point(0.0), 12.0, "mL", "half strength, for less fume"),
        Reagent(
            "nitric acid",
            Range(0.41, 0.54, 0.66),
            0.404,
            "mL",
            "low gold, all as NO",
            "x 0.8",
            "68 %",
            "first",
            "nitric",
            "down",
            False,
        ),
        Reagent(
            "nitric acid", Range(1.2, 1.6, 2.6), 2.58, "mL", "high gold, all as NO2", "x 1", "68 %", "at most", "nitric", "down"
        ),
    ),
    gases=(
        Gas("NO2", Range(0.0, 0.02, 0.04), Range(0, 0.5, 0.99), 10.0, 0.228, "all as NO2"),
        Gas("NO", Range(0.0081, 0.0107, 0.0132), Range(0.2, 0.26, 0.32), 10.0, None, "all as NO"),
    ),
    tables=(
        Table(
            "What eats the nitric",
            ("metal", "grams", "HNO3 mmol", "note"),
            (
                ("gold", Range(1.6, 2.1, 2.6), Range(8.1, 10.7, 39.6), "all as NO, all as NO2"),
                ("copper", 0.04, 1.7, "left on the foils"),
            ),
        ),
    ),
    notices=(SAMPLE,),
    says=(
        ("vessel", "250 mL beaker on a tray, watch glass"),
        ("watch for", "brown fume; hot, not boiling"),
        ("done when", "no foil is left"),
        ("gear", "face shield and goggles"),
        ("gear", "long neoprene gloves, hood"),
    ),
    reactions=("R3.1", "R3.2"),
    pots=(
        Pot(
            "gold liquor",
            np.array([0.03, 0.028, 0.033]),
            {"AuCl4^-": np.array([0.0107, 0.0081, 0.0132]), "H^+": np.array([0.1107, 0.1081, 0.1132]), "Cl^-": 0.1, "H2O": 1.6},
            {"AgCl": 0.0001},
            0.0,
            333.15,
            (Event("dissolve", "added nitric acid", {"HNO3": Range(0.006, 0.01, 0.03)}),),
            {"organics": "leach"},
        ),
    ),
    ins=(Stream("foils", {"Au": np.array([0.0107, 0.0081, 0.0132])}),),
    outs=(Stream("gold liquor", {"Au": np.array([0.0107, 0.0081, 0.0132])}),),
    heat_kj=1.2,
    minutes=Range(20, 30, 60),
    assumed=('68 % from "nitric" on the shelf', "other metals under 2 % of the foils"),
    used_facts=("constants.troy_ounce", "practice/show.scale.fine_step"),
    workings=(
        Working("nitric for the gold", "Au + HNO3 + 4 HCl", "2.1 g / 197.0 g/mol x 1", "10.7 mmol", ("constants.troy_ounce",)),
        Working("as acid of 68 %", "n / c", "10.7 mmol / 15.2 mol/L", "0.70 mL"),
    ),
)


def dissolving(*notices: Notice) -> Document:
    """One step with its cautions."""
    return Document.of(
        "dissolve",
        (DISSOLVE,),
        notices=notices or (FUME,),
        inputs={"gold": "1.6/2.1/2.6 g", "altitude": "350 m"},
        place=PLACE,
        assumed=("air at one atmosphere",),
        passed_by=(Pot("bath", 1.0, {"H^+": 1.0, "Cl^-": 1.0}),),
    )


DROP = Step(
    name="drop",
    title="gold liquor",
    answers=(Answer("smb_total", Range(1.7, 2.2, 2.8), "g"),),
    reagents=(
        Reagent(
            "sodium metabisulfite", Range(1.2, 1.6, 2.0), 2.345, "g", "high gold", "x 1.2", "97 % good", key="smb", rounding="up"
        ),
    ),
    reactions=("R5.4",),
    pots=(Pot("barren", 0.1, {"H^+": 0.4, "Cl^-": 0.4}),),
)


def planning(*pairs: tuple[str, Notice]) -> Document:
    """Several steps, with tables of the whole."""
    return Document.of(
        "plan",
        (DISSOLVE, DROP),
        title="tabs of the autumn",
        notices=pairs or (("dissolve", FUME), ("drop", FUME)),
        inputs={"altitude": "350 m"},
        place=PLACE,
        answers=(Answer("fine_gold", Range(1.5, 2.0, 2.5), "g"),),
        sections=(
            Table("The run", ("no", "step", "what"), (("1", "dissolve", "2.1 g gold"), ("2", "drop", "2.2 g SMB"))),
            Table("Shopping list", ("reagent", "the plan takes"), (("nitric acid", "2.6 mL"),)),
        ),
        lines=(("hangs on", "thickness of the plating"),),
    )
