#!/usr/bin/env python3
"""Errors of the estimated camera motion, on clips of moving cameras drawn from seeds; run it by run.sh --camera.

The estimated and the true motion bring a place from each frame to the first one; the error is the distance between the
two. Per clip: mean and maximum over frames of the worst corner, mean over the visible landmarks, frames without an
estimate, and milliseconds per frame.
"""

import argparse
import csv
import json
import math
import os
import subprocess

import clips
import record

KINDS = [("panned", "crossing", 1.5), ("hand-held", "belt", 2)]


def to_ground(cosine, sine, x, y, place):
    u, v = place[0] - x, place[1] - y
    square = cosine * cosine + sine * sine
    return (cosine * u + sine * v) / square, (cosine * v - sine * u) / square


def errors(rows, truth):
    """Of each frame the worst corner's error, and the errors of all landmarks."""
    (width, height), corner, landmark = truth["size"], [], []
    for row in rows:
        frame = int(row["frame"])
        found = [float(row[k]) for k in ("cosine", "sine", "x", "y")]
        path = truth["camera_path"][frame]
        scale, turn = path["scale_ratio"], path["turn_rad"]
        true = [scale * math.cos(turn), scale * math.sin(turn), path["x_px"], path["y_px"]]
        error = lambda place: math.dist(to_ground(*found, place), to_ground(*true, place))
        corner.append(max(error((x, y)) for x in (0, width) for y in (0, height)))
        columns = (c for c in truth["landmarks"].values() if c["visible"][frame])
        landmark += [error((c["x_px"][frame], c["y_px"][frame])) for c in columns]
    return corner, landmark


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("--seeds", default="531,532,533")
    parser.add_argument("--noise", type=int, default=0)
    parser.add_argument("--record", action="store_true")
    options = parser.parse_args()
    folder = os.path.join(options.target, "benchmarks")
    generator = os.path.join(options.target, "debug", "demo-clips")
    program = os.path.join(options.target, "release", "examples", "camera_path")
    table = []
    print(f"{'clip':46} corner   max landmark without    ms")
    for seed in options.seeds.split(","):
        for camera, course, seconds in KINDS:
            clip = clips.made(generator, folder, int(seed), 60, True, camera, course, seconds)
            film, places = clip.decode(folder, options.noise), os.path.join(folder, clip.name + ".places.csv")
            truth = json.load(open(os.path.splitext(clip.film)[0] + ".truth.json"))
            with open(places, "w") as out:
                print("frame,marker,x,y", file=out)
                for name, column in truth["landmarks"].items():
                    for frame, (x, y) in enumerate(zip(column["x_px"], column["y_px"])):
                        print(f"{frame},{name},{x},{y}", file=out)
            done = subprocess.run([program, film, places], check=True, capture_output=True, text=True)
            os.remove(film)
            rows = list(csv.DictReader(done.stdout.splitlines()))
            corner, landmark = errors(rows, truth)
            without = sum(row["residual_px"] == "-" for row in rows)
            mean = lambda values: sum(values) / max(1, len(values))
            ms = float(done.stderr.split()[0])
            print(f"{clip.name:46} {mean(corner):6.2f} {max(corner):6.2f} {mean(landmark):8.2f} {without:6} {ms:5.2f}", flush=True)
            table.append([clip.name, f"{mean(corner):.2f} px", f"{max(corner):.2f} px", f"{mean(landmark):.2f} px"])
    if options.record:
        record.table("camera", ["clip", "mean error at the worst corner", "maximum", "mean at the landmarks"], table)


if __name__ == "__main__":
    main()
