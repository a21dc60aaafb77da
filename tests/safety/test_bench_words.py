"""Words a person at this bench types, misspelt, plural or as a formula, each answer argued from chemistry beside it."""

import pytest

from refinekit.errors import UnknownName
from refinekit.safety.keep_apart import NOT_SAFE, meet_words

# one, other, levels that are right, a code that must be told ("" where none need be), why
PAIRS = [
    ("zinc", "arsenic", "warn", "arsine", "dry they lie quiet; any acid that wets both makes arsine"),
    ("aluminum", "white arsenic", "warn", "arsine", "acid or caustic on aluminium makes hydrogen, and with it arsine"),
    ("zinc", "antimony", "warn", "arsine", "stibine, as arsine"),
    ("wheel weights", "muriatic", "note warn", "arsine", "antimonial lead: stibine once iron or zinc is there"),
    ("arsenic", "bleach", "note warn", "poison", "oxidised and dissolved: a poison in the water"),
    ("battery acid", "bleach", "stop", "chlorine", "any acid on hypochlorite"),
    ("pool acid", "bleach", "stop", "chlorine", "pool acid is hydrochloric or bisulfate"),
    ("ph down", "pool shock", "stop", "chlorine", "the commonest pool accident: acid on hypochlorite"),
    ("pool ph minus", "smb", "warn stop", "sulfur-dioxide", "acid on metabisulfite"),
    ("stump remover", "battery acid", "stop", "sulfur-dioxide", "sold as metabisulfite: acid frees sulfur dioxide"),
    ("stump remover", "charcoal", "warn stop", "nitric-organics", "sold as saltpetre too: with charcoal it is black powder"),
    ("smb", "muratic acid", "warn stop", "sulfur-dioxide", "misspelt hydrochloric on metabisulfite"),
    ("spent etch", "bleach", "stop", "chlorine", "spent etch is acid"),
    ("spent etch", "ammonia", "warn stop", "ammine-held-metal", "copper goes to the deep blue ammine and stays in the water"),
    ("spent etch", "aluminium foil", "warn", "hydrogen", "copper driven down with much heat, hydrogen from the acid"),
    ("used etch", "lye", "note warn", "boil-over", "acid and caustic: heat"),
    ("spent etchant", "smb", "warn stop", "sulfur-dioxide", "acid"),
    ("foils", "ammonia", "warn stop", "fulminating-gold", "foils out of a bath are wet with gold chloride"),
    ("foils", "aqua regia", "note warn", "nox", "they dissolve, with brown fume"),
    ("drain cleaner", "ammonia", "warn", "ammonia-gas", "caustic drives ammonia out, acid heats"),
    ("lye", "aluminum", "warn", "hydrogen", "hydrogen and heat"),
    ("lye", "silver nitrate", "note", "fulminating-silver", "silver oxide falls; ammonia on it later is what kills"),
    ("stannous", "aqua regia", "stop", "colloid", "aqua regia may hold gold: purple of Cassius"),
    ("tin strip", "bleach", "stop", "chlorine", "a tin strip is hydrochloric acid"),
    ("stannous", "bleach", "warn stop", "chlorine", "stannous is kept in hydrochloric"),
    ("aqua regia", "acetone", "stop", "nitric-organics", "chloroacetone, fire, burst"),
    ("silver nitrate", "acetylide", "stop", "refused", "an acetylide is a primary explosive"),
    ("silver nitrate", "acetylene", "stop", "silver-fulminate", "silver acetylide"),
    ("silver nitrate", "amonia", "stop", "fulminating-silver", "misspelt ammonia"),
    ("photo fixer", "hydrochloric", "warn stop", "sulfur-dioxide", "thiosulfate in acid: sulfur and sulfur dioxide"),
    ("hypo", "bleach", "warn", "chlorine", "heat; chlorine if it turns acid"),
    ("peroxide", "acetone", "stop", "peroxide-runaway", "acetone peroxide"),
    ("peroxide", "brake cleaner", "stop", "peroxide-runaway", "most brake cleaner holds acetone"),
    ("brake cleaner", "nitric acid", "stop", "nitric-organics", "solvent and nitric: fire, burst"),
    ("brake cleaner", "torch", "stop", "gas-above-limit", "chlorinated kinds make phosgene in a flame"),
    ("brake cleaner", "lye", "warn", "peroxide-runaway", "trichloroethylene in caustic makes dichloroacetylene"),
    ("paint thinner", "nitric", "stop", "nitric-organics", "solvent and nitric"),
    ("mekp", "sawdust", "stop", "refused", "ketone peroxide is an explosive"),
    ("oxygen bleach", "acetone", "stop", "peroxide-runaway", "percarbonate is peroxide"),
    ("oxygen bleach", "pool acid", "warn", "froth-over", "percarbonate is half soda"),
    ("ferric", "aluminum powder", "warn stop", "boil-over", "wet heat and hydrogen; dry rust and aluminium is thermite"),
    ("root killer", "aluminium", "warn", "boil-over", "copper sulfate: copper driven down with heat"),
    ("root killer", "ammonia", "warn", "ammine-held-metal", "copper ammine"),
    ("palladium", "ammonium chloride", "note warn", "chloroplatinate-lost", "the palladium ammonium salt falls"),
    ("platinum", "sulfamic", "stop", "chloroplatinate-lost", "sulfamic turns to ammonium: yellow salt"),
    ("computer chips", "nitric", "stop", "tin-paste", "chips have tinned legs"),
    ("circuit boards", "fire", "stop", "poison", "burnt boards give bromine, dioxin and lead fume"),
    ("gold fingers", "hydrochloric acid", "none note", "", "plain hydrochloric without air or oxidant leaves copper and gold"),
    ("gold pins", "nitric", "warn", "nox", "copper in nitric"),
    ("white gold", "nitric", "warn", "nox", "silver, copper and nickel in it eat nitric"),
    ("silver solder", "torch", "stop", "poison", "old silver solder holds cadmium"),
    ("lead", "torch", "stop", "poison", "lead fume"),
    ("lead", "hydrochloric acid", "none note", "", "slow, coats over"),
    ("vinegar", "lead", "note warn", "poison", "sugar of lead, soluble and poisonous"),
    ("dental amalgam", "nitric", "stop", "refused", "mercury"),
    ("button cells", "pickle", "stop", "refused", "silver oxide cells hold mercury and caustic"),
    ("lithium batteries", "water", "stop", "refused", "lithium burns in water"),
    (
        "kitty litter",
        "nitric acid",
        "stop",
        "nitric-organics",
        "wheat and wood litter with nitrate heats by itself: a drum burst so",
    ),
    ("vermiculite", "nitric acid", "none", "", "mineral: that is what nitric spills are taken up with"),
    ("honey", "nitric", "warn stop", "nitric-organics", "sugar and nitric: oxidised with much brown fume"),
    ("ion exchange resin", "nitric acid", "stop", "nitric-organics", "nitric on resin has burst columns"),
    ("thiourea", "nitric", "warn stop", "nox", "oxidised with heat"),
    ("super glue", "cotton", "note warn", "", "sets in seconds, hot enough to smoke"),
    ("dish soap", "acid", "note", "froth-over", "soap makes the froth stand"),
    ("flame", "hydrogen", "stop", "hydrogen-flammable", "burns from 4 %"),
    ("hydrogen", "chlorine", "stop", "hydrogen-flammable", "explodes in daylight"),
    ("torch", "isopropyl alcohol", "stop", "flammable-rinse", "vapour flashes back"),
    ("wet mould", "molten gold", "stop", "steam-burst", "steam throws the metal"),
    ("damp crucible", "molten silver", "stop", "steam-burst", "steam throws the metal"),
    ("ph up", "muriatic acid", "warn", "froth-over", "soda ash in acid"),
    ("galvanized bucket", "pool acid", "warn", "hydrogen", "zinc in acid"),
    ("potassium gold cyanide", "vinegar", "stop", "hydrogen-cyanide", "any acid frees hydrogen cyanide"),
    ("sodium gold sulfite", "acid", "warn stop", "sulfur-dioxide", "sulfite in acid"),
    ("lugol", "ammonia", "stop", "", "nitrogen triiodide"),
    ("starch iodide", "bleach", "note warn", "", "iodine set free: the test itself"),
    ("HAuCl4", "NH4OH", "stop", "fulminating-gold", "by formula"),
    ("Zn", "H2SO4", "note warn", "hydrogen", "by formula"),
    ("KNO3", "HCl", "warn", "chloride-in-nitric", "by formula: poor man's aqua regia"),
    ("Na2S2O3", "HNO3", "warn stop", "", "by formula: sulfur dioxide and brown fume"),
]


@pytest.mark.parametrize(("one", "other", "levels", "code", "why"), PAIRS, ids=lambda value: str(value)[:24])
def test_what_is_typed_is_answered_as_a_chemist_would_both_ways(one, other, levels, code, why):
    for first, second in ((one, other), (other, one)):
        meeting = meet_words(first, second)
        told = {notice.code: notice.level for notice in meeting.notices}
        assert meeting.level in levels.split(), (first, second, why, told)
        assert not code or code in told, (first, second, why, told)


@pytest.mark.parametrize(
    "word", ["relays", "old jar", "rotten eggs", "green slime", "zebra fumes", "stuff", "blue crystals", "sunlight"]
)
def test_what_nobody_knows_is_never_called_safe(word):
    with pytest.raises(UnknownName, match="do not mix it"):
        meet_words(word, "water")


def test_nothing_known_is_not_called_safe():
    assert meet_words("vermiculite", "nitric acid").answer == NOT_SAFE
    assert "not the same as safe" in NOT_SAFE
