"""A spent liquor that no gold test is recorded for: stopped, unless the test is vouched for by a typed reason."""

import json

from tests.command import Run

REASON = "stannous twice this morning, clear, written on the pail"
LIFT = ("--override", f"leaving-gold-in-waste={REASON}")


def spent_bath(refinekit: Run) -> str:
    lot = refinekit("lot", "--kind", "edge tabs", "--weight", "42 g", "--area", "160 cm2", "--json").stdout
    return refinekit("leach", "--pot", "-", "--air", "2 L/min", "--outdoors", "--json", stdin=lot).stdout


def test_an_untested_bath_is_neutralised_only_against_a_typed_reason(refinekit: Run) -> None:
    bath = spent_bath(refinekit)
    words = ("neutralise", "--pot", "-", "--take", "bath", "--json")
    stopped = refinekit(*words, stdin=bath)
    assert stopped.returncode == 3
    assert json.loads(stopped.stdout)["reagents"] == []
    lifted = refinekit(*words, *LIFT, stdin=bath)
    assert lifted.returncode == 0, lifted.stderr
    assert json.loads(lifted.stdout)["reagents"]
    assert REASON in lifted.stdout
    assert REASON in " ".join(lifted.stderr.split())  # as a caution too, broken over lines


def test_gold_that_is_known_to_be_there_cannot_be_talked_away(refinekit: Run) -> None:
    told = ("neutralise", "--volume", "4 L", "--free-acid", "1 mol/L", "--copper", "20 g", "--gold", "10 mg")
    assert refinekit(*told, *LIFT).returncode == 3
