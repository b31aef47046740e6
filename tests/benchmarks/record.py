"""Measured tables in tests/MEASUREMENTS.md, each between markers that name it and the command that writes it."""

import datetime
import os

FILE = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "MEASUREMENTS.md")


def table(name, heading, rows):
    """Replaces the table of this name; `heading` and each row are lists of cells."""
    with open(FILE) as file:
        text = file.read()
    begin = text.find(f"<!-- table: {name} (")
    end = text.find("<!-- end -->", begin)
    if begin < 0 or end < 0:
        raise SystemExit(f"{FILE} has no table “{name}”")
    marker = text[begin : text.index("-->", begin) + 4]
    day = datetime.datetime.now(datetime.timezone.utc).date().isoformat()
    lines = [f"{day}, {os.cpu_count()} processors", "", line(heading), "|" + "---|" * len(heading)]
    lines += [line(row) for row in rows]
    with open(FILE, "w") as file:
        file.write(text[:begin] + marker + "\n".join(lines) + "\n" + text[end:])


def line(cells):
    return "| " + " | ".join(str(cell) for cell in cells) + " |"
