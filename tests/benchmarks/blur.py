#!/usr/bin/env python3
"""Errors of the blur of the shoe that is measured before the marking, and the corrections that a blur causes; run it by
run.sh --blur.

The true blur is the distance of the mark from one frame to the next times the open share of the shutter. Per rate and
shutter, over the three stickers of the shoe of all seeds: the true blur where they move fastest, the error of the
measured one (median and maximum), the marks without a measurement, and the corrections per hundred frames of tracking
all nine stickers.
"""

import argparse
import csv
import os
import statistics
import subprocess

import clips
import followers
import measure
import record

SHOE = ["near_ankle", "near_heel", "near_toe"]
SHUTTERS = [(30, 0.004), (30, 0.008), (30, 0.016), (60, 0.002), (60, 0.004), (60, 0.008), (60, 0.016)]
SHUTTERS += [(120, 0.002), (120, 0.004), (120, 0.008)]


def measured(program, clip, film, folder):
    """By marker of the shoe: its distances from frame to frame where it moves fastest, and the blur measured there."""
    path = os.path.join(folder, clip.name + ".places.csv")
    with open(path, "w") as file:
        file.write("frame,marker,x,y\n")
        for marker in SHOE:
            for frame, (x, y, seen) in enumerate(clip.truth[marker]):
                if seen:
                    file.write(f"{frame},{marker},{x:.3f},{y:.3f}\n")
    done = subprocess.run([program, film, path], check=True, capture_output=True, text=True)
    found = {marker: ([], []) for marker in SHOE}
    for row in csv.DictReader(done.stdout.splitlines()):
        ways, lengths = found[row["marker"]]
        ways.append(float(row["moves_px"]))
        if row["smear_px"] != "-":
            lengths.append(float(row["smear_px"]))
    return found


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("--seeds", default="641,642,643,644")
    parser.add_argument("--record", action="store_true")
    options = parser.parse_args()
    folder = os.path.join(options.target, "benchmarks")
    generator = os.path.join(options.target, "debug", "demo-clips")
    program, follow = (os.path.join(options.target, "release", "examples", name) for name in ("motion_blur", "follow"))
    table = []
    print("rate  shutter  true px  error: median  max  without  corrections/100")
    for rate_hz, shutter_s in SHUTTERS:
        true, off, none, corrections, frames = [], [], 0, 0, 0
        for seed in options.seeds.split(","):
            clip = clips.made(generator, folder, seed, rate_hz, True, seconds=1.5, shutter_s=shutter_s)
            film = clip.decode(folder)
            for ways, lengths in measured(program, clip, film, folder).values():
                blurred = rate_hz * shutter_s * statistics.median(ways) if ways else 0
                true.append(blurred)
                if lengths:
                    off.append(abs(statistics.median(lengths) - blurred))
                else:
                    none += 1
            tracks, _ = followers.ours(follow, clip, film, folder, 0)
            corrections += measure.judge(clip, tracks)["corrections"]
            frames += clip.frames
            os.remove(film)
        miss = f"{statistics.median(off):11.2f} {max(off):6.2f}" if off else f"{'-':>11} {'-':>6}"
        line = f"{rate_hz:4} {1000 * shutter_s:6.1f}ms {statistics.mean(true):8.1f} {miss}"
        print(f"{line} {none:5} of {len(true)} {100 * corrections / frames:10.1f}", flush=True)
        cells = [f"{statistics.median(off):.2f} px; {max(off):.2f} px" if off else "–", f"{none} of {len(true)}"]
        table.append([f"{rate_hz} frames/s, {1000 * shutter_s:.0f} ms", f"{statistics.mean(true):.1f} px"] + cells)
    if options.record:
        record.table("blur", ["clips", "true blur", "error: median; maximum", "without a measurement"], table)


if __name__ == "__main__":
    main()
