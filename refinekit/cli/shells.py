"""The Tab key of bash, zsh and fish: the script each is given, and the answer it asks for at every press."""

from __future__ import annotations

import os
import re
import shlex
import sys
from collections.abc import Sequence

from refinekit.cli.complete import UNFINISHED, Word, complete

ASKED = "REFINEKIT_COMPLETE"
"""Environment variable by which a shell asks for words: its name."""
TYPED = "REFINEKIT_TYPED"
"""Environment variable with what is typed: bash gives the line up to the cursor, zsh and fish a word a line."""

BASH = """\
# Words and values of refinekit on the Tab key, for bash.
_refinekit() {
    local one
    COMPREPLY=()
    while IFS= read -r one; do
        COMPREPLY+=("$one")
    done < <(REFINEKIT_COMPLETE=bash REFINEKIT_TYPED="${COMP_LINE:0:COMP_POINT}" "$1" 2>/dev/null)
    if [[ ${#COMPREPLY[@]} -gt 0 && ${COMPREPLY[0]} == *[=:./] ]]; then
        compopt -o nospace 2>/dev/null
    fi
}
complete -F _refinekit refinekit
"""
ZSH = """\
#compdef refinekit
# Words and values of refinekit on the Tab key, for zsh.
_refinekit() {
    local value says
    local -a typed done_words done_says open_words open_says
    (( CURRENT > 2 )) && typed=("${(@Q)words[2,CURRENT-1]}")
    typed+=("${(Q)PREFIX}")
    while IFS=$'\\t' read -r value says; do
        if [[ $value == *[=:./] ]]; then
            open_words+=("$value"); open_says+=("$value${says:+  $says}")
        else
            done_words+=("$value"); done_says+=("$value${says:+  $says}")
        fi
    done < <(REFINEKIT_COMPLETE=zsh REFINEKIT_TYPED="${(F)typed}" "${words[1]}" 2>/dev/null)
    (( $#done_words )) && compadd -M 'm:{a-z}={A-Z}' -l -d done_says -a done_words
    (( $#open_words )) && compadd -M 'm:{a-z}={A-Z}' -S '' -l -d open_says -a open_words
}
if (( ! $+functions[compdef] )); then
    autoload -Uz compinit && compinit
fi
compdef _refinekit refinekit
"""
FISH = """\
# Words and values of refinekit on the Tab key, for fish.
function __refinekit_words
    set -l typed (commandline -opc) (commandline -ct | string unescape --style=script 2>/dev/null; or commandline -ct)
    set -lx REFINEKIT_COMPLETE fish
    set -lx REFINEKIT_TYPED (string join -- \\n $typed[2..-1] | string collect)
    $typed[1] 2>/dev/null
end
complete --command refinekit --no-files --arguments '(__refinekit_words)'
"""
SCRIPTS = {"bash": BASH, "zsh": ZSH, "fish": FISH}
"""Script by shell."""
BREAKS = re.compile(r".*[=:]", re.DOTALL)
"""Up to where bash holds a word for done: it puts in place of what stands behind."""


def answer(shell: str, typed: str) -> int:
    """Print what may come next, a line each, as the shell wants it; returns the exit code."""
    text = "".join(f"{one}\n" for one in (bash(typed) if shell == "bash" else listed(typed.split("\n"))))
    sys.stdout.buffer.write(text.encode("utf-8", "surrogateescape"))
    return 0


def listed(words: Sequence[str]) -> list[str]:
    """A word a line, what it is behind a tab."""
    return [f"{word.text}\t{word.says}" if word.says else word.text for word in complete(words) if "\n" not in word.text]


def bash(line: str) -> list[str]:
    """What bash puts in place of the end of its line: quoted as the line is, and only what stands behind the last : or =."""
    words, quote = split(line)
    found = [word for word in complete(words[1:]) if "\n" not in word.text]
    if quote:
        return [_quoted(word, quote) for word in found]
    begun = BREAKS.match(words[-1])
    done = len(begun[0]) if begun else 0
    return [re.sub(r"([^\w%+,./:=@^~-])", r"\\\1", word.text[done:]) for word in found]


def _quoted(word: Word, quote: str) -> str:
    return word.text if quote == "'" else re.sub(r'(["\\$`])', r"\\\1", word.text)


def split(line: str) -> tuple[list[str], str]:
    """The words of a line as a shell reads them, the last one unfinished or empty, and the quote that is still open.

    >>> split('refinekit drum show "drum 1')
    (['refinekit', 'drum', 'show', 'drum 1'], '"')
    """
    for quote in ("", '"', "'"):
        try:
            words = shlex.split(line + quote)
        except ValueError:
            continue
        if not quote and line[-1:].isspace() and not line.endswith("\\ "):
            words.append("")
        return (words if len(words) > 1 else [*words, ""]), quote
    return [*line.split(), ""], ""


def asked() -> tuple[str, str] | None:
    """The shell that asks and what is typed; None where no shell asks."""
    shell = os.environ.get(ASKED, "")
    return (shell, os.environ.get(TYPED, "")) if shell in SCRIPTS else None


__all__ = ["ASKED", "SCRIPTS", "TYPED", "UNFINISHED", "answer", "asked", "bash", "listed", "split"]
