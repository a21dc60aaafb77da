"""One of several processes that write to one book at once: run as a program."""

import sys

from refinekit.shop.book.entry import Entry
from refinekit.shop.book.opening import open_book

if __name__ == "__main__":
    book, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    for number in range(count):  # opened anew each time, as commands do
        with open_book(book, write=True) as opened:
            opened.add([Entry("stock", f"{name}.{number}", "2026-03-05", {"did": "used"})])
