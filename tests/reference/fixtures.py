"""Computes the reference fixtures and compares them with the kept ones.

`fixtures.py KEPT` compares; `fixtures.py KEPT --write` writes new ones. Run it by `run.sh`, which installs its packages.
"""

import json
import math
import sys
from pathlib import Path

from chains import chains
from differences import differences
from intervals import intervals
from signals import signals

# Another processor may round the last digits differently; the tests themselves require 1e-9.
RELATIVE = 1e-11


def numbers(value):
    """Every number of a structure, in order."""
    if isinstance(value, dict):
        for key in sorted(value):
            yield from numbers(value[key])
    elif isinstance(value, list):
        for item in value:
            yield from numbers(item)
    else:
        yield float(value)


def compared(name, kept, made):
    """The number of equal numbers; ends the program if one differs."""
    pairs = list(zip(numbers(kept), numbers(made), strict=True))
    for old, new in pairs:
        if not math.isclose(old, new, rel_tol=RELATIVE, abs_tol=RELATIVE):
            sys.exit(f"{name}: kept {old!r}, computed {new!r}")
    return len(pairs)


def main():
    """Compares or writes."""
    folder = Path(sys.argv[1])
    made = {
        "chains": chains(),
        "signals": signals(),
        "intervals": intervals(),
        "differences": differences(),
    }
    for name, value in made.items():
        file = folder / f"{name}.json"
        if "--write" in sys.argv:
            file.write_text(json.dumps(value, separators=(",", ":")) + "\n")
        count = compared(name, json.loads(file.read_text()), value)
        print(f"{name}.json: {count} numbers agree with the second computation")


main()
