"""Makes expected.csv: what OpenCV finds on the pictures of tests/oracles/picture.rs.

usage: fixtures.py [--write]; without it the numbers are made anew and compared with those that are kept.
Needs the packages of tests/benchmarks/requirements.txt.
"""

import os
import sys

import cv2
import numpy

SIZE, CELL, HALF = 160, 24, 10
HERE = os.path.dirname(os.path.abspath(__file__))


def hash_(column, row):
    z = column.astype(numpy.uint64) * numpy.uint64(0x9E3779B97F4A7C15)
    z = z + row.astype(numpy.uint64) * numpy.uint64(0xC2B2AE3D27D4EB4F)
    z = (z ^ (z >> numpy.uint64(30))) * numpy.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> numpy.uint64(27))) * numpy.uint64(0x94D049BB133111EB)
    return ((z ^ (z >> numpy.uint64(31))) >> numpy.uint64(56)).astype(numpy.int64)


def fine(u, v):
    column, row, a, b = u // CELL, v // CELL, u % CELL, v % CELL
    line = lambda row: (CELL - a) * hash_(column, row) + a * hash_(column + 1, row)
    return ((CELL - b) * line(row) + b * line(row + 1)) // (CELL * CELL)


def moved(right, down):
    y, x = numpy.mgrid[0:SIZE, 0:SIZE].astype(numpy.int64)
    parts = (fine(4 * x + k % 4 - right, 4 * y + k // 4 - down) for k in range(16))
    return (sum(parts) // 16).astype(numpy.uint8)


def places():
    return [(52 + 14 * (k % 5) + 0.25 * (k % 3), 52 + 14 * (k // 5)) for k in range(25)]


def pictures():
    for right, down in [(0, 0), (13, -9), (-14, 9)]:
        flat = moved(right, down).ravel().astype(numpy.int64)
        weighted = int((numpy.arange(flat.size) % 1009 * flat).sum())
        yield f"picture,{right},{down},{flat[0]},{flat.sum()},{weighted}"


def flows():
    at = numpy.array(places(), numpy.float32).reshape(-1, 1, 2)
    for right, down in [(7, 5), (-14, 9), (25, -22)]:
        found, status, _ = cv2.calcOpticalFlowPyrLK(
            moved(0, 0), moved(right, down), at, None, winSize=(2 * HALF + 1,) * 2, maxLevel=2,
            criteria=(cv2.TERM_CRITERIA_COUNT + cv2.TERM_CRITERIA_EPS, 60, 1e-4))
        assert status.all()
        for index, (x, y) in enumerate(found[:, 0]):
            yield f"flow,{right},{down},{index},{x:.4f},{y:.4f}"


def correlations():
    offsets = numpy.arange(-HALF, HALF + 1)
    disc = (offsets[:, None] ** 2 + offsets[None, :] ** 2 <= HALF * HALF + HALF).astype(numpy.float32)
    from_, to = (moved(*shift).astype(numpy.float32) for shift in [(0, 0), (13, -9)])
    for index in (0, 7, 18):
        x, y = int(places()[index][0]), int(places()[index][1])
        patch = from_[y - HALF : y + HALF + 1, x - HALF : x + HALF + 1]
        reach = HALF + 6
        piece = to[y - reach : y + reach + 1, x - reach : x + reach + 1]
        scores = cv2.matchTemplate(piece, patch, cv2.TM_CCOEFF_NORMED, mask=disc)
        for dy in range(-6, 7, 2):
            for dx in range(-6, 7, 2):
                yield f"zncc,{index},{dx},{dy},{scores[dy + 6, dx + 6]:.5f}"


def main():
    made = [f"# OpenCV {cv2.__version__}"] + list(pictures()) + list(flows()) + list(correlations())
    path = os.path.join(HERE, "expected.csv")
    if "--write" in sys.argv:
        open(path, "w").write("\n".join(made) + "\n")
        return
    kept = open(path).read().split("\n")[:-1]
    words = lambda line: line.split(",")
    for old, new in zip(kept, made, strict=True):
        numbers = zip(words(old)[1:], words(new)[1:], strict=True)
        # Another processor may add in another order.
        same = words(old)[0] == words(new)[0] and all(abs(float(a) - float(b)) <= 2e-3 for a, b in numbers)
        if not same:
            sys.exit(f"kept {old}, made {new}")
    print(f"{len(made) - 1} numbers of OpenCV {cv2.__version__} are those that are kept")


main()
