#!/usr/bin/env python3
"""Fits the certainty and prints the weights for tracking/src/track/error_model.rs.

usage: fit_certainty.py --target FOLDER CLIP ... [--held-out CLIP ...]

FOLDER is cargo's target folder, with the example `follow` built (and `demo-clips`, for clips of seeds). A CLIP is the
name of one beside the project (skn60) or seed/rate/marks/camera/course/seconds, such as 51/60/skin/still/belt/2.

Runs `follow` over every clip twice, with and without corrections. Every visible marker that was not placed is a sample:
its features, and whether it was more than 6 px off. For stickers that were found, skin that was found and markers that
were not, separately, fits
p = 1 / (1 + exp(-(base + sum of weight times feature))) by Newton steps on the logarithmic score; no weight is negative,
and samples without corrections count a quarter. Then prints the stated probabilities and the true frequencies, on the
clips of the fit and on those held out.
"""

import argparse
import csv
import math
import os
import subprocess
import sys

import numpy

import clips
import followers

# In the order of `Features::numbers`; the limits are in error_model.rs too.
SIGNS = ["lack", "blame", "away", "strain", "drift", "gap", "torn", "unknown", "alone", "unseen", "spread"]
LIMITS = [0.5, 0.6, 4.0, 4.0, 2.0, 1.0, 4.0, 1.0, 1.0, 1.0, 20.0]
# Which of them each way of coming about has.
WAYS = {
    "sticker": ["lack", "blame", "away", "strain", "gap", "torn", "unknown", "alone"],
    "skin": ["lack", "blame", "away", "strain", "drift", "gap", "torn", "unknown", "alone"],
    "unseen": ["alone", "unseen", "spread"],
}
# The shape of a feature of found markers, as `shaped` in error_model.rs.
SQUARES, ROOTS = ["lack", "blame", "away", "alone"], ["strain", "gap", "torn"]
ALONE_WEIGHT = 0.25
# Holds the weights of numbers that hardly vary.
RIDGE = 0.05
DOUBT = 0.008


def clip_of(word, target):
    if "/" not in word:
        return clips.beside(word)
    seed, rate, marks, camera, course, seconds = word.split("/")
    generator, folder = os.path.join(target, "debug", "demo-clips"), os.path.join(target, "benchmarks")
    stickers = marks == "stickers"
    return clips.made(generator, folder, int(seed), int(rate), stickers, camera, course, float(seconds))


def samples(words, target):
    """By way of coming about: rows of signs, whether off, and weights."""
    found = {way: ([], [], []) for way in WAYS}
    folder = os.path.join(target, "benchmarks")
    for word in words:
        clip = clip_of(word, target)
        film = clip.decode(folder)
        for correct in (True, False):
            for row in rows(clip, film, target, correct):
                x, y, visible = clip.truth[row["marker"]][int(row["frame"])]
                if not visible or row["frame"] == "0" or row["state"] in ("placed", "lost"):
                    continue
                off = math.hypot(float(row["x"]) - x, float(row["y"]) - y) > followers.OFF_PX
                way = "unseen" if row["state"] == "coasting" else clip.mode
                for column, value in zip(found[way], (row["evidence"], off, 1.0 if correct else ALONE_WEIGHT)):
                    column.append(value)
        os.remove(film)
    signs = lambda texts: numpy.minimum(numpy.array([t.split() for t in texts], float).reshape(-1, len(SIGNS)), LIMITS)
    return {way: (shaped(way, signs(s)), numpy.array(o, float), numpy.array(w)) for way, (s, o, w) in found.items()}


def rows(clip, film, target, correct):
    """The samples of a clip, with their features."""
    folder = os.path.join(target, "benchmarks")
    markers, script = (os.path.join(folder, clip.name + end) for end in (".markers.csv", ".script.csv"))
    followers.write_markers(markers, clip)
    followers.write_places(script, clip, range(clip.frames), "frame,marker,x,y,visible")
    command = [os.path.join(target, "release", "examples", "follow"), film, markers, "--evidence"]
    command += ["--correct", script] if correct else []
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return list(csv.DictReader(done.stdout.splitlines()))


def shaped(way, signs):
    """The signs as they are weighed."""
    if way == "unseen":
        return signs
    signs = signs.copy()
    squares, roots = ([SIGNS.index(name) for name in names] for names in (SQUARES, ROOTS))
    signs[:, squares] = signs[:, squares] ** 2
    signs[:, roots] = numpy.sqrt(signs[:, roots])
    return signs


def probability(weights, signs):
    return 1.0 / (1.0 + numpy.exp(-numpy.clip(weights[0] + signs @ weights[1:], -20.0, 20.0)))


def fit(way, signs, off, weight):
    """Base and weights of one way; signs that would count the wrong way round are left out one by one."""
    kept = [SIGNS.index(name) for name in WAYS[way]]
    while True:
        columns = numpy.column_stack([numpy.ones(len(off)), signs[:, kept]])
        share = weight / weight.sum()
        mean = share @ columns
        ridge = RIDGE * (share @ (columns - mean) ** 2)
        some = numpy.zeros(columns.shape[1])
        for _ in range(15):
            p = 1.0 / (1.0 + numpy.exp(-numpy.clip(columns @ some, -20.0, 20.0)))
            slope = columns.T @ (weight * (off - p)) - ridge * some
            bend = columns.T @ (columns * (weight * p * (1.0 - p))[:, None]) + numpy.diag(ridge + 1e-9)
            some = some + numpy.linalg.solve(bend, slope)
        worst = int(numpy.argmin(some[1:]))
        if some[1 + worst] >= 0.0:
            break
        del kept[worst]
    weights = numpy.zeros(1 + len(SIGNS))
    weights[0] = some[0]
    weights[[1 + k for k in kept]] = some[1:]
    return weights


def report(title, weights, found):
    """Stated probabilities and true frequencies."""
    print(title)
    for way, (signs, off, weight) in found.items():
        if not len(off):
            continue
        p = probability(weights[way], signs)
        print(f"  {way}: {len(off)} samples")
        if way != "unseen" and weight @ off > 0.0:
            doubtful = p > DOUBT
            flagged, right = (weight * off) @ doubtful / (weight @ off), (weight * (1 - off)) @ doubtful / (weight @ (1 - off))
            print(f"    in doubt: {100 * flagged:.0f} % of what is off, {100 * right:.0f} % of what is right")
        for low, high in [(0, 0.003), (0.003, 0.01), (0.01, 0.03), (0.03, 0.1), (0.1, 0.2), (0.2, 0.4), (0.4, 0.7), (0.7, 1.01)]:
            part = (low <= p) & (p < high)
            if part.any():
                stated, came = (weight[part] @ v[part] / weight[part].sum() for v in (p, off))
                print(f"    {low:.3f} to {high:.3f}: {part.sum():6} samples, stated {stated:.3f}, were off {came:.3f}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("clips", nargs="+")
    parser.add_argument("--held-out", nargs="*", default=[])
    options = parser.parse_args()
    found = samples(options.clips, options.target)
    weights = {way: fit(way, *part) if len(part[1]) else numpy.zeros(1 + len(SIGNS)) for way, part in found.items()}
    for way, some in weights.items():
        print(f"{way}: base {some[0]:.3f}, weights [{', '.join(f'{w:.3f}' for w in some[1:])}]")
    print(f"the signs are {', '.join(SIGNS)}; their limits {LIMITS}")
    report("on the clips it was fitted to", weights, found)
    if options.held_out:
        report("on the clips held out", weights, samples(options.held_out, options.target))


if __name__ == "__main__":
    sys.exit(main())
