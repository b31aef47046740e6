#!/usr/bin/env python3
"""Measures the tracker against rendered truth and prints one table; needs ffmpeg and the clips beside the project.

A correction is a marker more than 6 px off, or not seen for more than 3 visible frames in a row; it is then placed again.
"""

import argparse
import csv
import math
import os
import random
import statistics
import subprocess
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
CLIPS = os.path.join(os.path.dirname(ROOT), "shared", "clips")
WORK = tempfile.gettempdir()

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
    # A marker inside the first frame is placed there even if it is hidden.
    return 0 if 0 in frames else min(seen or frames or [0])


def run(name, truth, mode, options):
    """The tracks of one clip, their first marks, and milliseconds per frame."""
    start_error, key_every, correct = options.start_error, options.key_every, not options.plain
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
    command = [os.path.join(options.target, "release", "examples", "follow"), decode(name), markers]
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
    """Errors of what was claimed, corrections, swaps, samples off and how many of them were flagged."""
    judged = {"errors": [], "corrections": {}, "swaps": 0, "off": 0, "flagged": 0, "claims": [], "unseen": 0}
    for marker, samples in tracks.items():
        first, *start = starts[marker]
        for frame, (sample, (tx, ty, visible)) in enumerate(zip(samples, truth[marker])):
            x, y, state, p_wrong, corrected, _ = sample
            if not visible or state == "placed" or frame <= first:
                continue
            off = math.hypot(x - tx, y - ty)
            if state in ("seen", "doubtful"):
                # The tracker follows the patch that was placed: the error of the first mark is not its own.
                judged["errors"].append(math.hypot(x - tx - start[0], y - ty - start[1]))
            else:
                judged["unseen"] += 1
            if state != "lost":
                judged["claims"].append((p_wrong, off > OFF_PX, marker, frame))
                if off > OFF_PX:
                    judged["off"] += 1
                    judged["flagged"] += state != "seen"
                    at = lambda m: truth[m][frame][:2]
                    others = [m for m in truth if m != marker and math.dist((x, y), at(m)) < 4]
                    judged["swaps"] += bool(others) and state == "seen"
            if corrected:
                start = (0.0, 0.0)
                judged["corrections"].setdefault(marker, []).append((frame, state, round(off)))
    return judged


def table_line(name, judged, frames, ms):
    errors = sorted(judged["errors"])
    at = lambda q: errors[min(len(errors) - 1, int(q * len(errors)))] if errors else math.nan
    count = sum(len(c) for c in judged["corrections"].values())
    share = f"{judged['flagged'] / judged['off']:7.2f}" if judged["off"] else "      -"
    return (f"{name:10} {at(0.5):6.3f} {at(0.95):6.2f} {at(0.99):6.2f} {len(errors):6} {judged['unseen']:6} {count:6} "
            f"{100 * count / frames:6.1f} {judged['swaps']:5} {judged['off']:5} {share} {ms:6.2f}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True, help="cargo's target folder, with the example `follow` built")
    parser.add_argument("--start-error", type=float, default=0.0, help="random error of the first marks in pixels")
    parser.add_argument("--key-every", type=float, default=0.0, help="seconds between further marks")
    parser.add_argument("--mode", help="sticker or skin for every clip")
    parser.add_argument("--plain", action="store_true", help="without corrections")
    parser.add_argument("--verbose", action="store_true")
    parser.add_argument("clips", nargs="*")
    options = parser.parse_args()
    names = options.clips or ["runner_a", "runner_b", "stk120", "stk60", "stk30over", "skn120", "skn60"]
    if not os.path.isdir(CLIPS):
        print(f"not run: {CLIPS} is missing")
        return
    print("clip       median    p95    p99  found unseen correc   /100 swaps  >6px flagged     ms")
    claims = []
    for name in names:
        truth = read_truth(name)
        kind = options.mode or ("skin" if name.startswith("skn") else "sticker")
        tracks, starts, ms = run(name, truth, kind, options)
        judged = judge(truth, tracks, starts)
        claims += judged["claims"]
        print(table_line(name, judged, max(len(t) for t in tracks.values()), ms))
        if options.verbose:
            for marker, where in judged["corrections"].items():
                print("    ", marker, where[:12])
    for low, high in [(0, .01), (.01, .03), (.03, .1), (.1, .2), (.2, .4), (.4, .7), (.7, 1.01)]:
        part = [wrong for p, wrong, _, _ in claims if low <= p < high]
        if part:
            print(f"p_wrong {low:.2f} to {high:.2f}: {len(part):6} samples, {sum(part) / len(part):.4f} wrong")


if __name__ == "__main__":
    main()
