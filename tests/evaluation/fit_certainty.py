#!/usr/bin/env python3
"""Fits the certainty of skin and cloth anew and prints the weights for tracking/src/track/certainty.rs.

usage: fit_certainty.py --target FOLDER CLIP ... [--held-out CLIP ...]

FOLDER is cargo's target folder, with the example `follow` built (and `demo-clips`, for clips of seeds). A CLIP is one
beside the project (skn60) or one of a seed: seed/rate/camera/course/seconds, as 51/60/still/belt/2.

Runs `follow` over every clip twice, once corrected and once left alone, and takes every visible marker that was
found as a sample: the numbers that told of drift, and whether it was more than 6 px off. Fits
p = 1 / (1 + exp(-(base + sum of weight times number))) by Newton steps on the logarithmic score; samples of passes
left alone count a fifth. Then prints how the fit does on the clips held out.
"""

import argparse
import csv
import math
import os
import subprocess
import sys

import clips
import followers

# In the order of `Softness::numbers`; the limits stand in certainty.rs too.
NUMBERS = ["strain", "drift", "gap", "torn", "unknown"]
LIMITS = [4.0, 2.0, 1.0, 4.0, 1.0]
ALONE_WEIGHT = 0.2
# Holds the weights of numbers that hardly vary.
RIDGE = 0.05


def clip_of(word, target):
    if "/" not in word:
        return clips.beside(word)
    seed, rate, camera, course, seconds = word.split("/")
    generator, folder = os.path.join(target, "debug", "demo-clips"), os.path.join(target, "evaluation")
    return clips.made(generator, folder, int(seed), int(rate), False, camera, course, float(seconds))


def samples(words, target):
    """[(numbers, off, weight)] and, of what coasted, [(off, weight)]."""
    found, coasted = [], []
    folder = os.path.join(target, "evaluation")
    for word in words:
        clip = clip_of(word, target)
        film = clip.decode(folder)
        for correct in (True, False):
            weight = 1.0 if correct else ALONE_WEIGHT
            for row in rows(clip, film, target, correct):
                x, y, visible = clip.truth[row["marker"]][int(row["frame"])]
                if not visible or row["frame"] == "0":
                    continue
                off = math.hypot(float(row["x"]) - x, float(row["y"]) - y) > followers.OFF_PX
                if row["state"] in ("seen", "doubtful"):
                    numbers = [min(float(n), limit) for n, limit in zip(row["evidence"].split(), LIMITS)]
                    found.append(([1.0] + numbers, off, weight))
                elif row["state"] == "coasting":
                    coasted.append((off, weight))
        os.remove(film)
    return found, coasted


def rows(clip, film, target, correct):
    """What the follower says of a clip, with its evidence."""
    folder = os.path.join(target, "evaluation")
    markers, script = (os.path.join(folder, clip.name + end) for end in (".markers.csv", ".script.csv"))
    followers.write_markers(markers, clip)
    followers.write_places(script, clip, range(clip.frames), "frame,marker,x,y,visible")
    command = [os.path.join(target, "release", "examples", "follow"), film, markers, "--evidence"]
    command += ["--correct", script] if correct else []
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return list(csv.DictReader(done.stdout.splitlines()))


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
    for threshold in (0.02, 0.03, 0.05):
        flagged = sum(w for p, off, w in scored if off and p > threshold) + sum(w for off, w in coasted if off)
        wrong = sum(w for _, off, w in scored if off) + sum(w for off, w in coasted if off)
        looks = sum(w for p, _, w in scored if p > threshold) / sum(w for _, _, w in scored)
        print(f"  above {threshold}: {flagged / max(wrong, 1e-9):.2f} of what is off flagged, {looks:.3f} of what is found")
    for low, high in [(0, .01), (.01, .03), (.03, .1), (.1, .2), (.2, .4), (.4, .7), (.7, 1.01)]:
        part = [(p, off, w) for p, off, w in scored if low <= p < high]
        if part:
            total = sum(w for _, _, w in part)
            mean = sum(w * p for p, _, w in part) / total
            share = sum(w * off for _, off, w in part) / total
            print(f"  p_wrong {low:.2f} to {high:.2f}: {len(part):6} samples, said {mean:.3f}, were off {share:.3f}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("clips", nargs="+")
    parser.add_argument("--held-out", nargs="*", default=[])
    options = parser.parse_args()
    found, coasted = samples(options.clips, options.target)
    weights = fit(found)
    print(f"base {weights[0]:.3f}")
    for name, weight, limit in zip(NUMBERS, weights[1:], LIMITS):
        print(f"  {name:12} {weight:7.3f} up to {limit}")
    report("on the clips it was fitted to", weights, found, coasted)
    if options.held_out:
        report("on the clips held out", weights, *samples(options.held_out, options.target))


if __name__ == "__main__":
    sys.exit(main())
