"""Faults are shown on the line they stand on."""

from refinekit.shop.toml_lines import line_at, lines_of

TEXT = """\
title = "x"

[lot]
kind = "edge tabs"
gold = { thickness = "1 micron" }

[shelf.nitric]
strength = "68 %"

[[step]]
do = "leach"

[[step]]  # the second
do = "drop"
"""


def test_headers_keys_and_list_items_are_found() -> None:
    lines = lines_of(TEXT)
    assert lines["title",] == 1
    assert lines["lot",] == 3
    assert lines["lot", "kind"] == 4
    assert lines["shelf", "nitric", "strength"] == 8
    assert lines["step", 0, "do"] == 11
    assert lines["step", 1] == 13
    assert lines["step", 1, "do"] == 14


def test_a_key_in_an_inline_table_stands_on_its_holder() -> None:
    assert line_at(lines_of(TEXT), ("lot", "gold", "thickness")) == 5


def test_an_unknown_path_falls_back_to_the_first_line() -> None:
    assert line_at(lines_of(TEXT), ("nothing", "here")) == 1
