import pytest

from refinekit.show.text import acted_on, harmless, printable, written_out


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


@pytest.mark.parametrize(
    ("sized_on", "end"),
    [
        ("high metal, low transfer", "high"),
        ("low: what is not poured need not be killed", "low"),
        ("most liquor", "high"),
        ("likely to account by", "likely"),
        ("low to pay on, likely to account by, high for vessel and fume", ""),
        ("all as NO", ""),
        ("likely", ""),
        ("", ""),
    ],
)
def test_the_end_acted_on_is_read_from_what_it_was_sized_on(sized_on: str, end: str) -> None:
    assert acted_on(sized_on) == end


def test_a_sentence_has_its_powers_of_ten_written_out() -> None:
    assert written_out("6.86e+03 m3/min, crucible of 5.7e+02 mL") == "6860 m3/min, crucible of 570 mL"
    assert written_out("event 1f99e12c, bottle 1e05") == "event 1f99e12c, bottle 1e05"
