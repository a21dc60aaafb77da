"""Kills a writing process at random points, over and over: run as a program, prints what was acknowledged.

Each child adds events of two halves in one book, and says a number on a pipe once it was told that they are there. The parent
ends it by kill -9 after a random moment: of every other life counted from its first word, so that on a busy machine, too, most
lives have written something.
"""

import json
import os
import random
import signal
import sqlite3
import sys
import time
from pathlib import Path

from refinekit.shop.book.entry import Entry
from refinekit.shop.book.opening import open_book

BIRTHS = 15
WORD = 65536
"""Bytes a pipe holds at most: whatever was said is read whole."""


def child(book: str, life: int, pipe: int) -> None:
    with open_book(book, write=True) as opened:
        count = 0
        while True:
            pair = [Entry("stock", f"{life}.{count}", "2026-03-05", {"half": half, "note": "x" * 300}) for half in (1, 2)]
            opened.add(pair)
            os.write(pipe, f"{life}.{count}\n".encode())
            count += 1


def main(book: str, times: int) -> None:
    assert sqlite3.sqlite_version  # loaded before the children are born, so that they spend their short lives writing
    chance = random.Random(7)
    said: list[str] = []
    for life in range(times):
        reading, writing = os.pipe()
        born = os.fork()
        if not born:
            os.close(reading)
            child(book, life, writing)
        os.close(writing)
        if life >= BIRTHS and life % 2:
            said += os.read(reading, WORD).decode().split()  # waits for a word; words are whole, each is written at once
            time.sleep(chance.uniform(0.0, 0.005))
        else:
            time.sleep(chance.uniform(0.0, 0.15 if life < BIRTHS else 0.03))  # the first ones while the book is being made
        os.kill(born, signal.SIGKILL)
        os.waitpid(born, 0)
        with os.fdopen(reading, "rb") as pipe:
            said += pipe.read().decode().split()
    Path(sys.argv[3]).write_text(json.dumps(said), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
