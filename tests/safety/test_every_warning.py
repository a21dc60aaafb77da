"""Every warning the bench can have, as a person asks for it: under its line quiet, near it a warning, over it a stop.

Each row is a command with an amount in it, the code looked for, and what must be said at each amount. Amounts and levels are
argued from chemistry or the trade in `why`; where no source is named it is common practice, no source. A second table holds what
must not meet, each beside a pair that looks like it and is harmless.
"""

import json
import shlex

import pytest

from refinekit.safety.keep_apart import meet_words
from tests.fuzz.judge import answer_of

# why, command, code, then amount and level, mildest first
COMMANDS = [
    # ---- the lot
    (
        "2.5 micron is the thickest gold that boards are known to have",
        "lot --kind 'edge tabs' --weight 300g --area 100cm2 --gold-thickness {}um",
        "thick-plating-unusual",
        ("2.4", "none"),
        ("2.6", "note"),
    ),
    (
        "a grade that is four times as high as low is a guess: sample",
        "lot --kind pins --weight 1kg --grade 1/2/{}",
        "sample-before-buying",
        ("3.9", "none"),
        ("4.1", "note"),
    ),
    (
        "beryllium: never ground or burnt; wet it is copper",
        "lot --kind pins --weight 100 --gold 0.3 --copper 60 --tags '{}'",
        "poison",
        ("brass", "none"),
        ("beryllium copper", "warn"),
        ("mercury relays", "stop"),
    ),
    (
        "cadmium plate and old black capacitors are not this tool's waste",
        "lot --kind pins --weight 100 --gold 0.3 --copper 60 --tags '{}'",
        "poison",
        ("no cadmium", "none"),
        ("cadmium plate", "stop"),
        ("old black capacitors", "stop"),
    ),
    (
        "cyanide goods are refused; a plain denial is not",
        "lot --kind pins --weight 100 --gold 0.3 --copper 60 --tags '{}'",
        "hydrogen-cyanide",
        ("no cyanide ever used", "none"),
        ("cyanide", "stop"),
    ),
    (
        "palladium or platinum changes drop, test and colour",
        "lot --weight 100 --gold 60 --copper 38 --platinum {}",
        "platinum-metals-in-lot",
        ("0", "none"),
        ("1", "note"),
    ),
    (
        "tin or lead named: paste in the next nitric",
        "lot --weight 100 --gold 1 --copper 60 --tin {}",
        "solder-on-goods",
        ("0", "none"),
        ("1", "note"),
    ),
    # ---- the base-metal leach
    (
        "free acid at the end: curd under 1 mol/L, paste under 0.3. 4 L at 3 mol/L is 12 mol, a gram of copper eats 31.5 mmol",
        "leach --copper {} --as-it-is --bath-volume 4L --bath-acid 3 --bath-copper 20 --air 2 --outdoors",
        "acid-spent",
        ("230", "none"),  # 12 - 7.24 = 4.76 mol, 1.19 mol/L
        ("300", "warn"),  # 12 - 9.44 = 2.56 mol, 0.64 mol/L
        ("370", "stop"),  # 12 - 11.6 = 0.36 mol, 0.09 mol/L
    ),
    (
        "copper over 150 g/L is thick, over 180 takes no more",
        "leach --copper {} --as-it-is --bath-volume 4L --bath-acid 6 --bath-copper 100 --air 2 --outdoors",
        "over-copper",
        ("150", "none"),  # 137 g/L
        ("250", "warn"),  # 162 g/L
        ("400", "stop"),  # 200 g/L
    ),
    (
        "hydrochloric goes with the air: twice as fast at 22 % as at 20 %",
        "leach --copper {} --as-it-is --bath-volume 4L --bath-acid 7.5 --bath-copper 20 --air 2 --outdoors",
        "strong-acid-aerated",
        ("100", "warn"),  # 7.5 mol/L is 24 %
    ),
    (
        "the same bath at 10 mol/L, 31 %",
        "leach --copper {} --as-it-is --bath-volume 4L --bath-acid 10 --bath-copper 20 --air 2 --outdoors",
        "strong-acid-aerated",
        ("100", "stop"),
    ),
    (
        "the same bath at 4 mol/L, 14 %",
        "leach --copper {} --as-it-is --bath-volume 4L --bath-acid 4 --bath-copper 20 --air 2 --outdoors",
        "strong-acid-aerated",
        ("100", "none"),
    ),
    (
        "a bath that is bubbled in a room without exhaust is breathed for days",
        "leach --copper 50 --air 2 {}",
        "gas-above-limit",
        ("--outdoors", "none"),
        ("--room 50", "stop"),
    ),
    ("iron makes hydrogen", "leach --iron {} --copper 50 --free-acid 2 --outdoors", "hydrogen", ("0", "none"), ("5", "note")),
    (
        "silver plate skins over and stalls",
        "leach --copper 100 --silver {} --outdoors",
        "silver-plate-in-leach",
        ("0", "none"),
        ("2", "note"),
    ),
    (
        "tin over 2 g/L goes to paste as acid runs down",
        "leach --copper 50 --tin {} --as-it-is --bath-volume 4L --bath-acid 3 --bath-copper 20 --air 2 --outdoors",
        "tin-paste",
        ("4", "none"),
        ("12", "warn"),
    ),
    (
        "strong peroxide on copper runs away where weak does not",
        "leach --method peroxide --copper 1 --volume 2L --peroxide {} --outdoors",
        "peroxide-runaway",
        ("3%", "none"),
        ("30%", "warn"),
    ),
    (
        "oxidant over base metal takes gold",
        "leach --method peroxide --copper 5 --gold 1 --volume 3L --peroxide-times {} --outdoors",
        "gold-dissolving",
        ("1", "none"),
        ("3", "warn"),
    ),
    (
        "tin over a hundredth of the lot is a beaker of paste",
        "leach --method nitric --copper 100 --tin {} --hood",
        "tin-paste",
        ("0", "none"),
        ("0.9", "warn"),
        ("1.2", "stop"),
    ),
    (
        "zinc in weak nitric makes ammonium: 4 Zn + 10 HNO3",
        "leach --method nitric --zinc {} --copper 50 --nitric 20% --hood",
        "ammonium-carried",
        ("0", "none"),
        ("20", "warn"),
    ),
    # ---- gold into solution
    (
        "silver 80, 150 per thousand (Rose, Metallurgy of Gold)",
        "dissolve --gold 20 --silver {} --hood",
        "silver-crust",
        ("0", "none"),
        ("1.5", "note"),
        ("2.5", "warn"),
        ("4", "stop"),
    ),
    ("tin in nitric", "dissolve --gold 20 --tin {} --hood", "tin-paste", ("0", "none"), ("0.1", "warn"), ("2", "stop")),
    (
        "nitric by nitrogen dioxide is 1.005 mL of 68 % a gram; over 1.05 is left for certain",
        "dissolve --gold 10 --nitric-added {} --hood",
        "nitric-left",
        ("9", "none"),
        ("12", "warn"),
    ),
    (
        "brown fume is quiet under a hood, loud in a room",
        "dissolve --gold 2 {}",
        "nox",
        ("--hood", "note"),
        ("--room 50 --fan 20", "warn"),
    ),
    (
        "bleach and acid: chlorine; by choice, with a hood and a typed reason",
        "dissolve --method bleach --gold 2 --oxidant-added 30 --hood {}",
        "chlorine",
        ("--override 'chlorine=fan and a second person'", "lifted"),
        ("", "stop"),
    ),
    # ---- leftover nitric
    (
        "boiled under 5 mL to a gram it bakes, dry gold chloride falls apart",
        "denox --nitric-left 2 --dissolved-gold 10 --volume 200 --method boil --end-volume {} --hood",
        "baked-dry",
        ("60", "none"),
        ("45", "warn"),
        ("3", "stop"),
    ),
    (
        "2 mL of 68 % is 30.4 mmol, 2.95 g of sulfamic; over 1.2 times, 3.54 g, boils to ammonium",
        "denox --nitric-left 2 --dissolved-gold 10 --volume 200 --sulfamic {} --hood",
        "ammonium-carried",
        ("3.4", "none"),
        ("3.7", "warn"),
    ),
    (
        "platinum falls with the ammonium sulfamic leaves",
        "denox --nitric-left 2 --dissolved-gold 10 --volume 200 --platinum {} --hood",
        "chloroplatinate-lost",
        ("0", "none"),
        ("1", "stop"),
    ),
    (
        "sulfamic on nitric gives 250 kJ a mole: 10 mL in 1.5 L 25 K at most, 20 mL in half a litre 36 K, in 300 mL 60 K",
        "denox --nitric-left 20 --dissolved-gold 10 --volume {} --hood",
        "boil-over",
        ("1500", "none"),
        ("500", "note"),
        ("300", "warn"),
    ),
    # ---- the drop
    (
        "10 g of gold is 50.8 mmol: 1 mL of nitric is under it, 5 mL (76 mmol) over it",
        "drop --gold 10 --volume 400 --nitric-left {} --hood",
        "nitric-left",
        ("0", "none"),
        ("1", "warn"),
        ("5", "stop"),
    ),
    (
        "sulfur dioxide",
        "drop --gold 10 --volume 400 --reagent smb {}",
        "sulfur-dioxide",
        ("--outdoors", "note"),
        ("--room 40", "stop"),
    ),
    (
        "ammonia as the alkali makes fulminating gold",
        "drop --gold 10 --volume 400 --reagent oxalic --alkali {} --hood",
        "fulminating-gold",
        ("caustic", "none"),
        ("ammonia", "stop"),
    ),
    (
        "hydrazine and any nitric: azide",
        "drop --gold 10 --volume 400 --reagent hydrazine-sulfate --nitric-left {} --hood",
        "hydrazine-nitrate",
        ("0", "none"),
        ("0.1", "stop"),
    ),
    (
        "palladium beside gold",
        "drop --gold 10 --volume 400 --palladium {} --hood",
        "platinum-metals",
        ("0", "none"),
        ("1", "note"),
    ),
    (
        "copper over 20 g/L, 8 g in 400 mL, and three times the sulfite",
        "drop --gold 10 --volume 400 --copper {} --excess 3 --hood",
        "cuprous-curd",
        ("6", "none"),
        ("12", "warn"),
    ),
    (
        "gold under half a gram a litre may stay a haze",
        "drop --gold {} --volume 400 --hood",
        "colloid",
        ("1", "none"),
        ("0.1", "note"),
    ),
    # ---- rinses, silver, melts
    (
        "nobody said whether the sponge was ever chloride; told with gold in the liquor it is certain",
        "rinse --what powder --weight 10 --stuff gold --liquid {}",
        "fulminating-gold",
        ("water", "none"),
        ("ammonia", "warn"),
        ("ammonia --gold-strength 5g/L", "stop"),
    ),
    (
        "180 mL of rinse in a drum with room for 100",
        "rinse --what powder --weight 10 --stuff gold --wash 30 --washes 6 --drum-room {}",
        "rinse-over-drum",
        ("5L", "none"),
        ("100mL", "note"),
    ),
    (
        "tin in parting nitric",
        "part --gold 2.5 --silver 7.5 --tin {} --hood",
        "tin-paste",
        ("0", "none"),
        ("0.05", "warn"),
        ("0.3", "stop"),
    ),
    (
        "7.5 g of silver is 69.5 mmol: 93 mmol of nitric, 6.1 mL, by nitric oxide",
        "part --gold 2.5 --silver 7.5 --boils 1 --nitric-added {} --hood",
        "nitric-short",
        ("12", "none"),
        ("3", "note"),
    ),
    (
        "silver chloride boils off where it is melted bare",
        "melt --gold 10 --silver-chloride {}",
        "chloride-in-melt",
        ("0", "none"),
        ("5", "note"),
    ),
    # ---- waste
    (
        "nickel needs pH 10",
        "neutralise --volume 4L --free-acid 1 --nickel 5 --ph {} --outdoors",
        "metal-left-in-water",
        ("10.2", "none"),
        ("9", "warn"),
    ),
    (
        "zinc comes back over pH 11",
        "neutralise --volume 4L --free-acid 1 --zinc 5 --ph {} --outdoors",
        "metal-left-in-water",
        ("10", "none"),
        ("11.3", "warn"),
    ),
    (
        "ammonium made alkaline: ammonia",
        "neutralise --volume 4L --free-acid 1 --copper 5 --ammonium {} --outdoors",
        "ammonia-gas",
        ("0", "none"),
        ("0.5", "warn"),
    ),
    (
        "the same holds the copper in the water",
        "neutralise --volume 4L --free-acid 1 --copper 5 --ammonium {} --outdoors",
        "ammine-held-metal",
        ("0", "none"),
        ("0.5", "warn"),
    ),
    (
        "ammonium, alkali and silver: explosive",
        "neutralise --volume 4L --free-acid 1 --ammonium 0.5 --silver {} --outdoors",
        "fulminating-silver",
        ("0", "none"),
        ("0.5", "stop"),
    ),
    (
        "40 CFR 261.24: silver 5 mg/L is D011",
        "neutralise --volume 4L --free-acid 1 --silver-strength {}mg/L --outdoors",
        "silver-in-waste",
        ("4.9", "none"),
        ("5.1", "note"),
    ),
    (
        "a mole of acid in a litre gives 57 kJ, 14 K, pearls as much again: 1 mol/L warms 24 K, 2 mol/L 46 K, 4 mol/L boils",
        "neutralise --volume 4L --free-acid {} --copper 5 --outdoors",
        "boil-over",
        ("0.5", "none"),
        ("1", "note"),
        ("2", "warn"),
        ("4", "stop"),
    ),
    (
        "pearls spit in strong acid",
        "neutralise --volume 4L --free-acid {} --copper 5 --outdoors",
        "acid-spit",
        ("1", "none"),
        ("4", "warn"),
        ("8", "stop"),
    ),
    (
        "gold told of in what becomes sludge; figures alone carry no test",
        "neutralise --volume 4L --free-acid 1 --gold {} --outdoors",
        "leaving-gold-in-waste",
        ("0", "warn"),
        ("0.5", "stop"),
    ),
    (
        "aluminium on copper gives 420 kJ a mole",
        "cement --metal aluminium --volume 4L --free-acid 0.5 --copper {} --outdoors",
        "boil-over",
        ("5", "note"),
        ("60", "warn"),
        ("200", "stop"),
    ),
    (
        "iron in nitric liquor: brown fume",
        "cement --metal iron --volume 4L --free-acid 0.5 --acid-kind {} --copper 50 --outdoors",
        "nox",
        ("hydrochloric", "none"),
        ("nitric", "warn"),
    ),
]


def noticed(line):
    """Levels by code of a command run in this process, the worst of each."""
    said = answer_of([*shlex.split(line), "--json"])
    found = {}
    for one in reversed(json.loads(said)["notices"]):
        found[one["code"]] = "lifted" if one["override_reason"] else one["level"]
    return found


CASES = [(why, line, code, amount, level) for why, line, code, *amounts in COMMANDS for amount, level in amounts]


@pytest.mark.parametrize(
    ("why", "line", "code", "amount", "level"), CASES, ids=[f"{code} {amount}" for _, _, code, amount, _ in CASES]
)
def test_a_warning_comes_at_its_line_and_not_under_it(why, line, code, amount, level):
    assert noticed(line.format(amount)).get(code, "none") == level, why


def test_every_row_has_an_amount_under_and_one_over():
    lone = {(line, code) for _, line, code, *amounts in COMMANDS if len({level for _, level in amounts}) < 2}
    assert {code for _, code in lone} <= {"strong-acid-aerated"}  # its sides are three baths


# one, other, code, level; a look-alike of them that is quiet, or no more than the level after it
MEETINGS = [
    ("gold chloride", "ammonia", "fulminating-gold", "stop", ("gold chloride", "caustic", "note")),
    ("gold oxide", "ammonium carbonate", "fulminating-gold", "stop", ("gold oxide", "soda ash", "none")),
    ("silver oxide", "ammonia", "fulminating-silver", "stop", ("silver oxide", "caustic", "none")),
    ("silver chloride", "ammonia", "fulminating-silver", "stop", ("silver chloride", "hydrochloric acid", "note")),
    ("silver nitrate", "alcohol", "silver-fulminate", "stop", ("silver nitrate", "water", "none")),
    ("silver nitrate", "acetylene", "silver-fulminate", "stop", ("silver metal", "acetylene", "none")),
    ("bleach", "vinegar", "chlorine", "stop", ("bleach", "caustic", "none")),
    ("bleach", "ammonia", "chloramine", "stop", ("bleach", "soda ash", "none")),
    ("bleach", "urea", "chloramine", "stop", ("bleach", "sugar", "note")),
    ("bleach", "sulfamic acid", "chloramine", "stop", ("bleach", "water", "none")),
    ("nitric acid", "acetone", "nitric-organics", "stop", ("hydrochloric acid", "acetone", "none")),
    ("nitric acid", "paper", "nitric-organics", "warn", ("hydrochloric acid", "paper", "none")),
    ("nitric acid", "sawdust", "nitric-organics", "stop", ("hydrochloric acid", "sawdust", "none")),
    ("nitric acid", "sugar", "nitric-organics", "stop", ("caustic", "sugar", "none")),
    ("nitric acid", "rubber glove", "nitric-organics", "warn", ("water", "rubber glove", "none")),
    ("nitric acid", "hydrazine", "hydrazine-nitrate", "stop", ("hydrochloric acid", "hydrazine", "warn")),
    ("nitrite", "hydrazine", "hydrazine-nitrate", "stop", ("salt", "hydrazine", "warn")),
    ("nitric acid", "metabisulfite", "nox", "warn", ("caustic", "metabisulfite", "none")),
    ("nitric acid", "copperas", "nox", "warn", ("water", "copperas", "none")),
    ("nitric acid", "urea", "urea-nitrate", "stop", ("water", "urea", "none")),
    ("hydrochloric acid", "metabisulfite", "sulfur-dioxide", "stop", ("soda ash", "metabisulfite", "none")),
    ("zinc", "hydrochloric acid", "hydrogen", "warn", ("copper", "hydrochloric acid", "none")),
    ("magnesium", "sulfuric acid", "hydrogen", "warn", ("silver metal", "sulfuric acid", "none")),
    ("cyanide", "vinegar", "hydrogen-cyanide", "stop", ("salt", "vinegar", "none")),
    ("cyanide", "gold chloride", "hydrogen-cyanide", "stop", ("salt", "gold chloride", "none")),
    ("cyanide", "copper bath", "hydrogen-cyanide", "stop", ("salt", "copper bath", "none")),
    ("sulfide", "muriatic acid", "hydrogen-sulfide", "stop", ("sulfide", "caustic", "none")),
    ("aluminium", "caustic", "hydrogen", "warn", ("copper", "caustic", "none")),
    ("peroxide", "copper", "peroxide-runaway", "stop", ("peroxide", "water", "none")),
    ("peroxide", "iron", "peroxide-runaway", "stop", ("peroxide", "glass", "none")),
    ("chlorine scrubber", "metabisulfite", "chlorine", "warn", ("caustic", "metabisulfite", "none")),
    ("chlorine scrubber", "hydrochloric acid", "chlorine", "stop", ("chlorine scrubber", "caustic", "none")),
    ("ammonium liquor", "caustic", "ammonia-gas", "warn", ("copper bath", "caustic", "note")),
    ("platinum", "ammonium chloride", "chloroplatinate-lost", "stop", ("platinum", "salt", "none")),
    ("platinum", "urea", "chloroplatinate-lost", "stop", ("platinum", "hydrochloric acid", "none")),
    ("bicarbonate", "hydrochloric acid", "froth-over", "warn", ("bicarbonate", "caustic", "none")),
    ("hot glass", "hydrochloric acid", "hot-glass", "note", ("glass", "hydrochloric acid", "none")),
    ("lead", "flame", "poison", "stop", ("copper", "flame", "none")),
    ("cadmium", "molten metal", "poison", "stop", ("copper", "molten metal", "none")),
    ("water", "sulfuric acid", "acid-spit", "warn", ("water", "hydrochloric acid", "none")),
    ("salt", "nitric acid", "chloride-in-nitric", "warn", ("salt", "sulfuric acid", "note")),
    ("tin", "nitric acid", "tin-paste", "stop", ("tin", "water", "none")),
    ("stannous", "gold chloride", "colloid", "stop", ("stannic chloride", "gold chloride", "none")),
    ("water", "molten metal", "steam-burst", "stop", ("borax", "molten metal", "none")),
]
LEVELS = ["none", "note", "warn", "stop"]


@pytest.mark.parametrize(("one", "other", "code", "level", "alike"), MEETINGS, ids=lambda value: str(value)[:20])
def test_what_must_not_meet_is_told_at_its_level_and_its_look_alike_is_not(one, other, code, level, alike):
    for first, second in ((one, other), (other, one)):
        told = {notice.code: notice.level for notice in reversed(meet_words(first, second).notices)}
        assert told.get(code) == level, (first, second, told)
    harmless = meet_words(*alike[:2])
    assert LEVELS.index(harmless.level) <= LEVELS.index(alike[2]), (alike, [(one.level, one.code) for one in harmless.notices])


@pytest.mark.parametrize("word", ["cyanide", "mercury", "hydrofluoric acid", "chlorine cylinder", "unknown powder"])
def test_what_is_not_for_this_bench_is_refused_with_who_takes_it(word):
    refusal = next(notice for notice in meet_words(word, "water").notices if notice.code == "refused")
    assert refusal.level == "stop"
    assert any(taker in refusal.do for taker in ("contractor", "supplier"))
