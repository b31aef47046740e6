#!/usr/bin/env python3
"""Fits the certainty of skin and cloth anew and prints the weights for tracking/src/track/certainty.rs.

usage: fit_certainty.py CLIP ... [--held-out CLIP ...]

Runs the example `follow` over every clip twice, once corrected and once left alone, and takes every visible marker
that was found as a sample: the numbers that told of drift, and whether it was more than 6 px off. Fits
p = 1 / (1 + exp(-(base + sum of weight times number))) by Newton steps on the logarithmic score; samples of passes
left alone count half. Then prints how the fit does on the clips held out. Environment as for follow_truth.py.
"""

import math
import sys

import follow_truth as truth_of

# In the order of `Softness::numbers`; the limits stand in certainty.rs too.
NUMBERS = ["kept_lack", "lately_lack", "fresh_lack", "strain", "drift", "slack", "gap", "away"]
LIMITS = [0.5, 0.3, 0.3, 4.0, 2.0, 2.0, 1.0, 3.0]
ALONE_WEIGHT = 0.5
# Holds the weights of numbers that hardly vary.
RIDGE = 0.05


def samples(names):
    """[(numbers, off, weight)] and, of what coasted, [(off, weight)]."""
    found, coasted = [], []
    for name in names:
        truth = truth_of.read_truth(name)
        for correct in (True, False):
            weight = 1.0 if correct else ALONE_WEIGHT
            options = {"start_error": 0.0, "key_every": 0.0, "correct": correct, "more": ["--evidence"]}
            tracks, starts, _ = truth_of.run(name, truth, "skin", options)
            for marker, track in tracks.items():
                for frame, (x, y, state, _, _, evidence) in enumerate(track):
                    tx, ty, visible = truth[marker][frame]
                    if not visible or frame <= starts[marker][0]:
                        continue
                    off = math.hypot(x - tx, y - ty) > truth_of.OFF_PX
                    if state in ("seen", "doubtful"):
                        numbers = [min(float(n), limit) for n, limit in zip(evidence.split(), LIMITS)]
                        found.append(([1.0] + numbers, off, weight))
                    elif state == "coasting":
                        coasted.append((off, weight))
    return found, coasted


def probability(weights, numbers):
    z = sum(w * n for w, n in zip(weights, numbers))
    return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, z))))


def solve(matrix, right):
    """Gauss elimination with pivots."""
    n = len(right)
    rows = [list(row) + [r] for row, r in zip(matrix, right)]
    for k in range(n):
        best = max(range(k, n), key=lambda i: abs(rows[i][k]))
        rows[k], rows[best] = rows[best], rows[k]
        for i in range(k + 1, n):
            factor = rows[i][k] / rows[k][k]
            rows[i] = [a - factor * b for a, b in zip(rows[i], rows[k])]
    out = [0.0] * n
    for k in reversed(range(n)):
        out[k] = (rows[k][n] - sum(rows[k][j] * out[j] for j in range(k + 1, n))) / rows[k][k]
    return out


def fit(found):
    count = len(found[0][0])
    total = sum(w for _, _, w in found)
    means = [sum(w * x[i] for x, _, w in found) / total for i in range(count)]
    spreads = [math.sqrt(sum(w * (x[i] - means[i]) ** 2 for x, _, w in found) / total) or 1.0 for i in range(count)]
    ridge = [0.0] + [RIDGE * s * s for s in spreads[1:]]
    weights = [0.0] * count
    for _ in range(12):
        slope = [-r * w for r, w in zip(ridge, weights)]
        bend = [[0.0] * count for _ in range(count)]
        for i, r in enumerate(ridge):
            bend[i][i] = r
        for x, off, w in found:
            p = probability(weights, x)
            for i in range(count):
                slope[i] += w * (off - p) * x[i]
                scaled = w * p * (1.0 - p) * x[i]
                for j in range(count):
                    bend[i][j] += scaled * x[j]
        weights = [a + b for a, b in zip(weights, solve(bend, slope))]
    return weights


def report(title, weights, found, coasted):
    print(title)
    scored = [(probability(weights, x), off, w) for x, off, w in found]
    for threshold in (0.07, 0.1, 0.15):
        flagged = sum(w for p, off, w in scored if off and p > threshold) + sum(w for off, w in coasted if off)
        wrong = sum(w for _, off, w in scored if off) + sum(w for off, w in coasted if off)
        looks = sum(w for p, _, w in scored if p > threshold) / sum(w for _, _, w in scored)
        print(f"  above {threshold}: {flagged / max(wrong, 1e-9):.2f} of what is off flagged, {looks:.3f} of what is found")
    for low, high in [(0, .01), (.01, .03), (.03, .1), (.1, .2), (.2, .4), (.4, .7), (.7, 1.01)]:
        part = [(p, off) for p, off, _ in scored if low <= p < high]
        if part:
            mean = sum(p for p, _ in part) / len(part)
            share = sum(off for _, off in part) / len(part)
            print(f"  p_wrong {low:.2f} to {high:.2f}: {len(part):6} samples, said {mean:.3f}, were off {share:.3f}")


def main(arguments):
    held_out = []
    if "--held-out" in arguments:
        place = arguments.index("--held-out")
        arguments, held_out = arguments[:place], arguments[place + 1:]
    if not arguments:
        print(__doc__)
        return
    found, coasted = samples(arguments)
    weights = fit(found)
    print(f"base {weights[0]:.3f}")
    for name, weight, limit in zip(NUMBERS, weights[1:], LIMITS):
        print(f"  {name:12} {weight:7.3f} up to {limit}")
    report("on the clips it was fitted to", weights, found, coasted)
    if held_out:
        report("on the clips held out", weights, *samples(held_out))


if __name__ == "__main__":
    main(sys.argv[1:])
