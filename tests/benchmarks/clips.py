"""Clips of known truth: those beside the project and those drawn from a seed."""

import csv
import json
import os
import subprocess

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
BESIDE = os.path.join(os.path.dirname(ROOT), "shared", "clips")
GENERATOR_NAMES = ["near_hip", "near_knee", "near_ankle", "near_heel", "near_toe"]
GENERATOR_NAMES += ["near_shoulder", "near_elbow", "near_wrist", "head"]


class Clip:
    """A film, the truth of its markers as {name: [(x, y, visible), ...]}, and what the markers are."""

    def __init__(self, name, film, truth, mode, rate_hz):
        self.name, self.film, self.truth, self.mode, self.rate_hz = name, film, truth, mode, rate_hz
        self.frames = max(len(places) for places in truth.values())

    def decode(self, folder, noise=0):
        """The film as YUV4MPEG2, which both programs read, with the noise of ffmpeg's filter in luma and chroma."""
        path = os.path.join(folder, self.name + ".y4m")
        command = ["ffmpeg", "-y", "-loglevel", "error", "-i", self.film, "-pix_fmt", "yuv420p"]
        command += ["-vf", f"noise=alls={noise}:allf=t"] if noise else []
        subprocess.run(command + ["-f", "yuv4mpegpipe", path], check=True)
        return path


def beside(name):
    """A clip of ../shared/clips; None if the folder is missing."""
    table = os.path.join(BESIDE, name + ".csv")
    if not os.path.exists(table):
        return None
    truth = {}
    for row in csv.DictReader(open(table)):
        truth.setdefault(row["marker"], []).append((float(row["x"]), float(row["y"]), row["visible"] == "1"))
    rate = int("".join(c for c in name if c.isdigit()))
    mode = "skin" if name.startswith("skn") else "sticker"
    return Clip(name, os.path.join(BESIDE, name + ".mp4"), truth, mode, rate)


def made(generator, folder, seed, rate_hz, stickers, camera="still", course="belt", seconds=2, shutter_s=None):
    """A clip drawn from a seed, with the given shutter or one from the seed; an existing clip is not drawn again."""
    marks = "stickers" if stickers else "skin"
    name = f"seed{seed}_{rate_hz}_{marks}_{camera.replace('-', '_')}_{course}"
    name += f"_shutter{1000 * shutter_s:.1f}" if shutter_s else ""
    path = os.path.join(folder, name + ".truth.json")
    if not os.path.exists(path) or not os.path.exists(os.path.join(folder, name + ".mp4")):
        words = ["varied", "--seed", seed, "--rate", rate_hz, "--stickers", "yes" if stickers else "no"]
        words += ["--camera", camera, "--course", course, "--seconds", seconds, "--out", folder]
        words += ["--shutter", shutter_s] if shutter_s else []
        subprocess.run([generator] + [str(word) for word in words], check=True, capture_output=True)
    facts = json.load(open(path))
    truth = {}
    for marker in GENERATOR_NAMES:
        column = facts["landmarks"][marker]
        seen = [v == 1 for v in column["visible"]]
        truth[marker] = list(zip(column["x_px"], column["y_px"], seen))
    return Clip(name, os.path.join(folder, name + ".mp4"), truth, marks.rstrip("s"), rate_hz)


def luma(path):
    """The luma frames of a YUV4MPEG2 file, one after the other."""
    import numpy

    with open(path, "rb") as file:
        words = file.readline().split()
        width, height = (int(next(w[1:] for w in words if w[:1] == letter)) for letter in (b"W", b"H"))
        chroma = 2 * ((width + 1) // 2) * ((height + 1) // 2)
        while file.readline():
            yield numpy.frombuffer(file.read(width * height), numpy.uint8).reshape(height, width)
            file.seek(chroma, 1)
