#!/usr/bin/env python3
"""Measures the follower against rendered truth and prints one table.

usage: follow_truth.py [--start-error PX] [--key-every SECONDS] [--mode MODE] [--plain] [--verbose] [CLIP ...]

Needs ffmpeg, the clips beside the project (../shared/clips or the folder named by CLIPS) and the built example
`follow` (or the path named by FOLLOW). A correction is a marker more than 6 px off, or not seen for more than
3 visible frames running; it is then taken as corrected and counted afresh once it has been right again.
"""

import csv
import math
import os
import random
import statistics
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
CLIPS = os.environ.get("CLIPS", os.path.join(os.path.dirname(ROOT), "shared", "clips"))
FOLLOW = os.environ.get("FOLLOW", os.path.join(ROOT, "target", "release", "examples", "follow"))
WORK = os.environ.get("WORK", tempfile.gettempdir())

OFF_PX = 6.0
SIZE_PX = (1280, 720)
# Nearer to the edge a person would wait for the next frame.
MARGIN_PX = 12
NEAR_SIDE = ["hip", "knee", "ankle", "heel", "mt5", "shoulder", "elbow", "wrist"]
RATES = {"runner_a": 120, "runner_b": 60}


def read_truth(name):
    """{marker: [(x, y, visible), ...]} by frame."""
    truth = {}
    if name.startswith("runner"):
        for row in csv.DictReader(open(os.path.join(CLIPS, name + ".truth_px.csv"))):
            at = lambda m: (float(row[m + "_x"]), float(row[m + "_y"]))
            arm = (at("R_elbow"), at("R_wrist"))
            for marker in NEAR_SIDE:
                place = at("R_" + marker)
                # The near forearm is drawn over the hip; its half width and the sticker's radius make 20 px.
                hidden = marker == "hip" and distance_to_line(place, *arm) < 20
                truth.setdefault(marker, []).append((*place, not hidden))
            truth.setdefault("head", []).append((*at("head"), True))
        return truth
    for row in csv.DictReader(open(os.path.join(CLIPS, name + ".csv"))):
        place = (float(row["x"]), float(row["y"]), row["visible"] == "1")
        truth.setdefault(row["marker"], []).append(place)
    return truth


def distance_to_line(p, a, b):
    ux, uy = b[0] - a[0], b[1] - a[1]
    t = ((p[0] - a[0]) * ux + (p[1] - a[1]) * uy) / (ux * ux + uy * uy)
    t = min(1.0, max(0.0, t))
    return math.hypot(p[0] - a[0] - t * ux, p[1] - a[1] - t * uy)


def rate_of(name):
    return RATES.get(name) or int("".join(c for c in name[3:6] if c.isdigit()))


def decode(name):
    path = os.path.join(WORK, name + ".y4m")
    if not os.path.exists(path):
        clip = os.path.join(CLIPS, name + ".mp4")
        command = ["ffmpeg", "-loglevel", "error", "-i", clip, "-pix_fmt", "yuv420p"]
        subprocess.run(command + ["-f", "yuv4mpegpipe", path], check=True)
    return path


def first_frame(places):
    """The first frame in which a marker can be placed: inside the picture, and seen if it ever is."""
    inside = lambda p: MARGIN_PX < p[0] < SIZE_PX[0] - MARGIN_PX and MARGIN_PX < p[1] < SIZE_PX[1] - MARGIN_PX
    frames = [f for f, p in enumerate(places) if inside(p)]
    seen = [f for f in frames if places[f][2]]
    # A marker that is there from the first frame is placed there even where it is hidden, as ever.
    return 0 if 0 in frames else min(seen or frames or [0])


def run(name, truth, mode, options):
    """The tracks of one clip, where they begin, and milliseconds a frame."""
    start_error, key_every, correct = options["start_error"], options["key_every"], options["correct"]
    random.seed(1)
    error = lambda: random.uniform(-start_error, start_error)
    markers = os.path.join(WORK, name + ".markers.csv")
    starts = {}
    with open(markers, "w") as out:
        print("frame,marker,x,y,mode", file=out)
        for marker, places in truth.items():
            first = first_frame(places)
            x, y, _ = places[first]
            at = (round(x) + error(), round(y) + error())
            starts[marker] = (first, at[0] - x, at[1] - y)
            print(f"{first},{marker},{at[0]},{at[1]},{mode}", file=out)
    script = os.path.join(WORK, name + ".truth.csv")
    with open(script, "w") as out:
        print("frame,marker,x,y,visible", file=out)
        for marker, places in truth.items():
            for frame, (x, y, visible) in enumerate(places):
                print(f"{frame},{marker},{x},{y},{int(visible)}", file=out)
    command = [FOLLOW, decode(name), markers] + options.get("more", [])
    if correct:
        command += ["--correct", script]
    if key_every:
        keys = os.path.join(WORK, name + ".keys.csv")
        step = round(key_every * rate_of(name))
        with open(keys, "w") as out:
            print("frame,marker,x,y", file=out)
            for marker, places in truth.items():
                for frame in range(step, len(places), step):
                    print(f"{frame},{marker},{places[frame][0]},{places[frame][1]}", file=out)
        command += ["--keyframes", keys]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    tracks = {}
    for row in csv.DictReader(done.stdout.splitlines()):
        place = (float(row["x"]), float(row["y"]), row["state"], float(row["p_wrong"]), row.get("corrected") == "1", row.get("evidence"))
        tracks.setdefault(row["marker"], []).append(place)
    return tracks, starts, float(done.stderr.split()[0])


def judge(truth, tracks, starts):
    """Errors of what was claimed, corrections, swaps, samples off and those of them that were flagged."""
    told = {"errors": [], "corrections": {}, "swaps": 0, "off": 0, "flagged": 0, "claims": [], "unseen": 0}
    for marker, samples in tracks.items():
        first, *start = starts[marker]
        for frame, (sample, (tx, ty, visible)) in enumerate(zip(samples, truth[marker])):
            x, y, state, p_wrong, corrected, _ = sample
            if not visible or state == "placed" or frame <= first:
                continue
            off = math.hypot(x - tx, y - ty)
            if state in ("seen", "doubtful"):
                # What is followed is the patch that was placed: the start's own error is not the follower's.
                told["errors"].append(math.hypot(x - tx - start[0], y - ty - start[1]))
            else:
                told["unseen"] += 1
            if state != "lost":
                told["claims"].append((p_wrong, off > OFF_PX, marker, frame))
                if off > OFF_PX:
                    told["off"] += 1
                    told["flagged"] += state != "seen"
                    at = lambda m: truth[m][frame][:2]
                    others = [m for m in truth if m != marker and math.dist((x, y), at(m)) < 4]
                    told["swaps"] += bool(others) and state == "seen"
            if corrected:
                start = (0.0, 0.0)
                told["corrections"].setdefault(marker, []).append((frame, state, round(off)))
    return told


def table_line(name, told, frames, ms):
    errors = sorted(told["errors"])
    at = lambda q: errors[min(len(errors) - 1, int(q * len(errors)))] if errors else math.nan
    count = sum(len(c) for c in told["corrections"].values())
    share = f"{told['flagged'] / told['off']:7.2f}" if told["off"] else "      -"
    return (f"{name:10} {at(0.5):6.3f} {at(0.95):6.2f} {at(0.99):6.2f} {len(errors):6} {told['unseen']:6} {count:6} "
            f"{100 * count / frames:6.1f} {told['swaps']:5} {told['off']:5} {share} {ms:6.2f}")


def main(arguments):
    options = {"start_error": 0.0, "key_every": 0.0, "correct": True}
    mode, verbose, names = None, False, []
    while arguments:
        word = arguments.pop(0)
        if word == "--start-error":
            options["start_error"] = float(arguments.pop(0))
        elif word == "--key-every":
            options["key_every"] = float(arguments.pop(0))
        elif word == "--mode":
            mode = arguments.pop(0)
        elif word == "--plain":
            options["correct"] = False
        elif word == "--verbose":
            verbose = True
        else:
            names.append(word)
    names = names or ["runner_a", "runner_b", "stk120", "stk60", "stk30over", "skn120", "skn60"]
    if not os.path.isdir(CLIPS):
        print(f"not run: {CLIPS} is absent")
        return
    print("clip       median    p95    p99  found unseen correc   /100 swaps  >6px flagged     ms")
    claims = []
    for name in names:
        truth = read_truth(name)
        kind = mode or ("skin" if name.startswith("skn") else "sticker")
        tracks, starts, ms = run(name, truth, kind, options)
        told = judge(truth, tracks, starts)
        claims += told["claims"]
        print(table_line(name, told, max(len(t) for t in tracks.values()), ms))
        if verbose:
            for marker, where in told["corrections"].items():
                print("    ", marker, where[:12])
    for low, high in [(0, .01), (.01, .03), (.03, .1), (.1, .2), (.2, .4), (.4, .7), (.7, 1.01)]:
        part = [wrong for p, wrong, _, _ in claims if low <= p < high]
        if part:
            print(f"p_wrong {low:.2f} to {high:.2f}: {len(part):6} samples, {sum(part) / len(part):.4f} wrong")


if __name__ == "__main__":
    main(sys.argv[1:])
