import pytest

from refinekit.show.text import harmless, printable


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain [bold]text[/bold] :smile:", "plain [bold]text[/bold] :smile:"),
        ("a\x1b[31mred\x1b[0m", "a[31mred[0m"),
        ("a\x07\x08\x00b", "ab"),
        ("one\ntwo\r\nthree\tfour", "one two  three four"),
        ("ltr\u202ertl\u2066x\u2069", "ltrrtlx"),
        ("zero\u200bwidth\ufeff", "zerowidth"),
        ("c1\x9bcontrol", "c1control"),
        ("lone \ud800 surrogate", "lone  surrogate"),
        ("line\u2028and\u2029paragraph", "line and paragraph"),
        ("Zürich °C µ –", "Zürich °C µ –"),
    ],
)
def test_text_cannot_move_the_cursor(text: str, shown: str) -> None:
    assert harmless(text) == shown


@pytest.mark.parametrize(
    ("text", "encoding", "shown"),
    [
        ("18 °C, 2–3 µL → x ≥ 1", "ascii", "18 degC, 2-3 uL -> x >= 1"),
        ("Zürich café", "ascii", "Zurich cafe"),
        ("金 gold", "ascii", "? gold"),
        ("18 °C – 2", "latin-1", "18 °C - 2"),
        ("18 °C – 2", "utf-8", "18 °C – 2"),
    ],
)
def test_every_stream_can_print_it(text: str, encoding: str, shown: str) -> None:
    assert printable(text, encoding) == shown
    assert printable(text, encoding).encode(encoding)
