"""Lines and columns by themselves: what stands where, letters two cells wide among them."""

import pytest

from refinekit.show.blocks import Column, broken, hanging, render, table

WIDE = "\u91d1"  # gold, two cells wide


@pytest.mark.parametrize(
    ("line", "width", "pieces"),
    [
        ("pour it slowly", 20, ["pour it slowly"]),
        ("pour it slowly", 8, ["pour it", "slowly"]),
        ("  pour it slowly", 9, ["  pour it", "slowly"]),
        ("hexachloroaurate", 6, ["hexach", "loroau", "rate"]),
        ("of hexachloroaurate", 6, ["of", "hexach", "loroau", "rate"]),
        (WIDE * 5, 4, [WIDE * 2, WIDE * 2, WIDE]),
        (f"{WIDE * 2} {WIDE * 2}", 8, [WIDE * 2, WIDE * 2]),
        ("", 5, [""]),
    ],
)
def test_a_line_is_broken_between_words_by_the_cells_it_takes(line: str, width: int, pieces: list[str]) -> None:
    assert broken(line, width) == pieces


def test_columns_stand_under_the_last_line_of_their_headings() -> None:
    block = table([Column("metal"), Column("grams of it", whole=False)], [["gold", "2"], [WIDE, "30"]], 13)
    assert render(block, styled=False) == f"       grams\nmetal  of it\ngold   2\n{WIDE}     30\n"


def test_colour_adds_no_letter_and_covers_none() -> None:
    block = hanging("WARN", ["nitric is left", "do: denox"], 20, indent=6, style="bold yellow")
    assert render(block, styled=True) == "\x1b[1;33mWARN\x1b[0m  nitric is left\n      do: denox\n"
    assert render(block, styled=False) == "WARN  nitric is left\n      do: denox\n"
