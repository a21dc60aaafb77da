"""One of several processes that write to one book at once: run as a program. Says at the end how many events it wrote."""

import sys
from time import monotonic

from refinekit.shop.book.entry import Entry
from refinekit.shop.book.opening import open_book

if __name__ == "__main__":
    book, name, seconds = sys.argv[1], sys.argv[2], float(sys.argv[3])
    end, number = monotonic() + seconds, 0
    while number == 0 or monotonic() < end:  # opened anew each time, as commands do
        with open_book(book, write=True) as opened:
            opened.add([Entry("stock", f"{name}.{number}", "2026-03-05", {"did": "used"})])
        number += 1
    print(number)
