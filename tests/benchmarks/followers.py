"""Both trackers on one clip: ours, and OpenCV's pyramidal Lucas-Kanade forward and backward."""

import csv
import math
import os
import random
import subprocess
import time

from clips import luma

OFF_PX = 6.0
UNSEEN_FRAMES = 3
START_PX = 0.3


class Sample:
    """The stated place of a marker in a frame; `claimed` if it is stated as seen, `sure` if without doubt."""

    def __init__(self, x, y, claimed, sure, p_wrong, corrected):
        self.x, self.y, self.claimed, self.sure = x, y, claimed, sure
        self.p_wrong, self.corrected = p_wrong, corrected


def ours(follow, clip, film, folder, key_every_s, start=0):
    """Tracks by marker, and milliseconds per frame."""
    markers, script = (os.path.join(folder, clip.name + end) for end in (".markers.csv", ".script.csv"))
    write_markers(markers, clip, start)
    write_places(script, clip, range(clip.frames), "frame,marker,x,y,visible")
    command = [follow, film, markers, "--correct", script]
    if key_every_s:
        keys = os.path.join(folder, clip.name + ".keys.csv")
        write_places(keys, clip, range(0, clip.frames, round(key_every_s * clip.rate_hz)), "frame,marker,x,y,visible")
        command += ["--keyframes", keys]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    tracks = {}
    for row in csv.DictReader(done.stdout.splitlines()):
        claimed = row["state"] in ("seen", "doubtful")
        placed = row["state"] == "placed"
        sample = Sample(float(row["x"]), float(row["y"]), claimed, row["state"] == "seen", float(row["p_wrong"]), row["corrected"] == "1")
        tracks.setdefault(row["marker"], []).append(None if placed else sample)
    return tracks, float(done.stderr.split()[0])


def write_markers(path, clip, start=0):
    """The first marks: exact for start 0, else with a random error of START_PX along each axis."""
    chance = random.Random(f"{start}{clip.name}")
    with open(path, "w") as out:
        print("frame,marker,x,y,mode", file=out)
        for marker, places in clip.truth.items():
            x, y = (v + (chance.gauss(0.0, START_PX) if start else 0.0) for v in places[0][:2])
            print(f"0,{marker},{x},{y},{clip.mode}", file=out)


def write_places(path, clip, frames, heading):
    with open(path, "w") as out:
        print(heading, file=out)
        for marker, places in clip.truth.items():
            for frame in frames:
                x, y, visible = places[frame]
                print(f"{frame},{marker},{x},{y},{int(visible)}", file=out)


def peer(clip, film):
    """The same of `calcOpticalFlowPyrLK` with a window of 21 and four scales; lost if forward and backward miss by 1.5 px.

    A lost marker stays in its place until it is placed again, since the method cannot search for it.
    """
    import cv2
    import numpy

    cv2.setNumThreads(1)
    settings = {"winSize": (21, 21), "maxLevel": 3}
    names = list(clip.truth)
    at = numpy.array([clip.truth[n][0][:2] for n in names], numpy.float32).reshape(-1, 1, 2)
    tracks, unseen = {n: [None] for n in names}, [0] * len(names)
    before, spent, frames = None, 0.0, 0
    for frame, picture in enumerate(luma(film)):
        if before is not None and frame < clip.frames:
            begin = time.process_time()
            forward, found, _ = cv2.calcOpticalFlowPyrLK(before, picture, at, None, **settings)
            back, home, _ = cv2.calcOpticalFlowPyrLK(picture, before, forward, None, **settings)
            spent, frames = spent + time.process_time() - begin, frames + 1
            for i, name in enumerate(names):
                miss = float(numpy.hypot(*(back[i, 0] - at[i, 0])))
                seen = bool(found[i, 0] and home[i, 0] and miss < 1.5)
                at[i, 0] = forward[i, 0] if seen else at[i, 0]
                x, y, visible = clip.truth[name][frame]
                unseen[i] = 0 if seen or not visible else unseen[i] + 1
                off = math.hypot(at[i, 0, 0] - x, at[i, 0, 1] - y)
                wrong = visible and (unseen[i] > UNSEEN_FRAMES or (seen and off > OFF_PX))
                p_wrong = 0.0 if seen else 1.0
                tracks[name].append(Sample(float(at[i, 0, 0]), float(at[i, 0, 1]), seen, seen, p_wrong, wrong))
                if wrong:
                    at[i, 0], unseen[i] = (x, y), 0
        before = picture
    return tracks, 1e3 * spent / max(1, frames)
