"""What fume may be told."""

from __future__ import annotations

from collections.abc import Mapping

from refinekit.bench.fields import METALS, Field, MetalsTold, metal_fields
from refinekit.chemistry.solution import Solution
from refinekit.ranges import Number


class FumeTold(MetalsTold, total=False):
    """What fume may be told: one entry a field of FIELDS, in base units."""

    gas: str
    litres_l: Number
    mol_mol: Number
    no_share: Number
    bleach: Solution
    bleach_volume_l: Number
    smb_g: Number
    goodness: Number
    acid_neutralised_mol: Number
    carbonate: str
    time_s: Number
    t90_s: Number
    portions: Number
    between_s: Number
    headspace_l: Number
    surface_cm2: Number
    pot_at_k: Number
    frothing: bool
    room_length_m: Number
    room_width_m: Number
    room_height_m: Number
    hood_width_m: Number
    hood_height_m: Number
    face_speed_m_per_s: Number


def _no_share_from(texts: Mapping[str, object]) -> str:
    """The nitrogen's mix stands in only where metals make nitrogen oxides."""
    metals = {metal for metal in METALS if texts.get(metal) is not None}
    nitric = bool(metals - {"zinc", "iron", "aluminium", "nickel", "tin", "lead"}) or str(texts.get("gas", "")).lower() in (
        "nox",
        "no",
        "no2",
    )
    return "practice/general.no_share.gold_hot" if metals and nitric and texts.get("bleach-volume") is None else ""


def _goodness_from(texts: Mapping[str, object]) -> str:
    return "practice/fume.smb.goodness" if texts.get("smb") is not None else ""


GIVES = (
    Field("gas", "text", "", "which gas: NOx, NO, NO2, Cl2, SO2, HCl, CO2, H2, NH3, or its name"),
    Field("litres", "volume", "L", "litres of that gas"),
    Field("mol", "amount", "mol", "moles of that gas"),
    *metal_fields(*METALS, what="that dissolves: in nitric, or in acid that makes hydrogen"),
    Field("no-share", "share", "", "share of the nitrogen that leaves as nitric oxide", highest=1.0, default_from=_no_share_from),
    Field("bleach", "strength:NaOCl", "", "bleach in hand"),
    Field("bleach-volume", "volume", "mL", "bleach that meets acid"),
    Field("smb", "mass", "g", "metabisulfite whose sulfur dioxide leaves"),
    Field("goodness", "share", "", "share of the metabisulfite that is good", highest=1.0, default_from=_goodness_from),
    Field("acid-neutralised", "amount", "mol", "acid that carbonate neutralises"),
    Field("carbonate", "choice", "", "what neutralises it", choices=("soda ash", "bicarbonate", "limestone")),
)
"""What gives the gas."""
PACE = (
    Field("time", "time", "min", "time over which it comes", above_zero=True),
    Field("t90", "time", "min", "time in which nine tenths of a burst are off", above_zero=True),
    Field("portions", "count", "", "portions it is done in, each a burst of its own", above_zero=True),
    Field("between", "time", "min", "from one portion to the next", above_zero=True),
)
"""How fast it comes."""
TAPE = (
    Field("room-length", "length", "m", "room by the tape", above_zero=True),
    Field("room-width", "length", "m", "room by the tape", above_zero=True),
    Field("room-height", "length", "m", "room by the tape", above_zero=True),
)
"""The room by the tape."""
HOOD = (
    Field("hood-width", "length", "m", "opening of the hood", above_zero=True),
    Field("hood-height", "length", "m", "opening of the hood", above_zero=True),
    Field("face-speed", "speed", "m/s", "speed of the air in that opening", above_zero=True),
)
"""The hood."""
FIELDS = (
    *GIVES,
    *PACE,
    # the air
    Field("headspace", "volume", "L", "closed space over the pot, for hydrogen", above_zero=True),
    Field("surface", "area", "cm2", "open surface of the liquor, for foam", above_zero=True),
    Field("pot-at", "temperature", "degC", "temperature of the liquor, for foam", above_zero=True),
    Field("frothing", "flag", "", "carbonate, oxalic, sulfamic, finger dust or soap is in it"),
    *TAPE,
    *HOOD,
)
"""The fields of fume."""
