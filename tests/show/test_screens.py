"""Ten screens at three widths, a plain ASCII terminal and a pipe, held to what was read and kept."""

import re

import pytest

from tests import screens

RENEW = "the look has changed: python -m tests.screens, then read git diff tests/data/screens before it is kept"
BARE = re.compile(r"^ *(?:%|mL|L|g|mg|mol|min|°C)$")
"""A unit alone on its line: of which figure?"""


@pytest.mark.parametrize(("name", "line", "width", "how"), list(screens.every()), ids=lambda one: str(one)[:24])
def test_the_screen_is_as_it_was_read_and_kept(name: str, line: str, width: int, how: str) -> None:
    assert screens.screen(line, width, how) == screens.kept_file(name).read_text(encoding="utf-8"), RENEW


@pytest.mark.parametrize(("name", "line", "width", "how"), list(screens.every()), ids=lambda one: str(one)[:24])
def test_nothing_is_cut_nothing_is_left_alone(name: str, line: str, width: int, how: str) -> None:
    lines = screens.kept_file(name).read_text(encoding="utf-8").splitlines()
    assert max(map(len, lines)) <= width
    assert not [one for one in lines if "…" in one or BARE.match(one)]
    assert not any("\x1b" in one for one in lines)
    if how == "ascii":
        assert all(one.isascii() for one in lines)


@pytest.mark.parametrize("name", ["stopped-40", "stopped-80", "drop-80", "keep-apart-80"])
def test_cautions_stand_before_figures(name: str) -> None:
    text = screens.kept_file(name).read_text(encoding="utf-8")
    assert re.match(r"(?:STOP|WARN|note)  ", text)
    assert text.index("do:") < text.index(f"\n{screens.SCREENS[name.rsplit('-', 1)[0]].split()[0]}  ")


def test_down_a_pipe_go_figures_and_the_cautions_stay_on_the_terminal() -> None:
    piped, _, still = screens.kept_file("drop-piped").read_text(encoding="utf-8").partition("---- still on the terminal\n")
    assert "MEASURE OUT" in piped
    assert piped.startswith("drop  ")
    assert still.startswith("WARN  nitric")


def test_nothing_is_kept_that_is_not_shown() -> None:
    assert {path.stem for path in screens.KEPT.glob("*.txt")} == {name for name, *_ in screens.every()}


def test_a_stop_and_a_warning_carry_their_own_ground_so_that_they_show_on_light_and_dark() -> None:
    from refinekit.show.terminal import STYLES

    assert " on " in STYLES["STOP"]
    assert " on " in STYLES["WARN"]


def test_no_colour_is_sent_where_none_is_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    line = screens.SCREENS["keep-apart"]
    assert "\x1b[" not in screens.screen(line, 80)
    coloured = screens.screen(line, 80, colour=True)
    assert coloured.startswith("\x1b[1;97;41mSTOP\x1b[0m  hypochlorite")
