#!/usr/bin/env python3
"""How far the camera's motion that is found is off, on clips of moving cameras drawn from seeds; run it by run.sh --camera.

A place is brought from each frame to the ground, the first frame, by what was found and by what is true; the miss is
the distance of both. Printed by clip: the mean and the most over frames of the worst corner of the picture, the mean over
the runner's visible landmarks, how many frames told nothing, and milliseconds a frame.
"""

import argparse
import csv
import json
import math
import os
import subprocess

import clips

KINDS = [("panned", "crossing", 1.5), ("hand-held", "belt", 2)]


def to_ground(cosine, sine, x, y, place):
    u, v = place[0] - x, place[1] - y
    square = cosine * cosine + sine * sine
    return (cosine * u + sine * v) / square, (cosine * v - sine * u) / square


def misses(rows, truth):
    """Of each frame the worst corner's, and those of all landmarks."""
    (width, height), corner, landmark = truth["size"], [], []
    for row in rows:
        frame = int(row["frame"])
        found = [float(row[k]) for k in ("cosine", "sine", "x", "y")]
        path = truth["camera_path"][frame]
        scale, turn = path["scale_ratio"], path["turn_rad"]
        true = [scale * math.cos(turn), scale * math.sin(turn), path["x_px"], path["y_px"]]
        miss = lambda place: math.dist(to_ground(*found, place), to_ground(*true, place))
        corner.append(max(miss((x, y)) for x in (0, width) for y in (0, height)))
        columns = (c for c in truth["landmarks"].values() if c["visible"][frame])
        landmark += [miss((c["x_px"][frame], c["y_px"][frame])) for c in columns]
    return corner, landmark


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("--seeds", default="531,532,533")
    parser.add_argument("--noise", type=int, default=0)
    options = parser.parse_args()
    folder = os.path.join(options.target, "evaluation")
    generator = os.path.join(options.target, "debug", "demo-clips")
    program = os.path.join(options.target, "release", "examples", "camera_path")
    print(f"{'clip':46} corner   most landmark untold    ms")
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
            corner, landmark = misses(rows, truth)
            untold = sum(row["residual_px"] == "-" for row in rows)
            mean = lambda values: sum(values) / max(1, len(values))
            ms = float(done.stderr.split()[0])
            print(f"{clip.name:46} {mean(corner):6.2f} {max(corner):6.2f} {mean(landmark):8.2f} {untold:6} {ms:5.2f}", flush=True)


if __name__ == "__main__":
    main()
