#!/usr/bin/env python3
"""Measures our tracker and its peer on the same clips in one run and prints one table; run it by run.sh.

A correction is a visible marker more than 6 px off that is stated as seen, or one not seen for more than 3 visible
frames in a row; it is then placed again. An identity loss is a sample without doubt, more than 6 px off its own marker
and within 4 px of another. Flagged is the share of samples more than 6 px off that are stated with doubt. All numbers
are over visible samples; the first mark is the true place.
"""

import argparse
import math
import os
import subprocess
import sys

import clips
import followers
import record

OTHER_PX = 4.0


def judge(clip, tracks):
    judged = {"errors": [], "corrections": 0, "losses": 0, "off": 0, "flagged": 0, "claims": []}
    for marker, samples in tracks.items():
        for frame, (sample, (x, y, visible)) in enumerate(zip(samples, clip.truth[marker])):
            if sample is None:
                continue
            judged["corrections"] += sample.corrected
            if not visible:
                continue
            off = math.hypot(sample.x - x, sample.y - y)
            if sample.claimed:
                judged["errors"].append(off)
            judged["claims"].append((sample.p_wrong, off > followers.OFF_PX))
            if off > followers.OFF_PX:
                judged["off"] += 1
                judged["flagged"] += not sample.sure
                others = (clip.truth[m][frame] for m in clip.truth if m != marker)
                near = any(math.hypot(sample.x - u, sample.y - v) < OTHER_PX for u, v, _ in others)
                judged["losses"] += near and sample.sure
    return judged


def line(name, judged, frames, ms):
    errors = sorted(judged["errors"])
    at = lambda q: errors[min(len(errors) - 1, int(q * len(errors)))] if errors else math.nan
    flagged = f"{100 * judged['flagged'] / judged['off']:6.1f}" if judged["off"] else "     -"
    per_100 = 100 * judged["corrections"] / frames
    return f"{name:46} {at(0.5):6.2f} {at(0.95):7.2f} {per_100:7.1f} {judged['losses']:6} {flagged} {ms:7.2f}"


def cells(name, judged, frames):
    """The row of the measured table."""
    errors = sorted(judged["errors"])
    at = lambda q: errors[min(len(errors) - 1, int(q * len(errors)))] if errors else math.nan
    return [name, f"{at(0.5):.2f}, {at(0.95):.2f} px", f"{100 * judged['corrections'] / frames:.1f}"]


def chosen(options, generator, folder):
    """All clips of this run, one after the other."""
    if not options.no_clips:
        for name in options.clips.split(","):
            clip = clips.beside(name)
            if clip:
                yield clip
            else:
                print(f"NOT RUN: {name} is not in {clips.BESIDE}")
    kinds = [("still", "belt")]
    if options.moving:
        kinds += [("panned", "crossing"), ("hand-held", "belt"), ("still", "crossing")]
    for seed in filter(None, options.seeds.split(",")):
        for rate in map(int, options.rates.split(",")):
            for stickers in (True, False):
                for camera, course in kinds:
                    seconds = 1.5 if course == "crossing" else 2
                    yield clips.made(generator, folder, int(seed), rate, stickers, camera, course, seconds)


def calibration(claims):
    for low, high in [(0, 0.01), (0.01, 0.03), (0.03, 0.1), (0.1, 0.2), (0.2, 0.4), (0.4, 0.7), (0.7, 1.01)]:
        part = [(p, wrong) for p, wrong in claims if low <= p < high]
        if part:
            stated, was = (sum(column) / len(part) for column in zip(*part))
            print(f"p_wrong {low:.2f} to {high:.2f}: {len(part):7} samples, stated {stated:.3f}, were wrong {was:.3f}")


def alone(target, film, clip):
    """Lucas-Kanade forward and backward alone: milliseconds per frame."""
    program = os.path.join(target, "release", "examples", "flow_time")
    points = os.path.splitext(film)[0] + ".markers.csv"
    done = subprocess.run([program, film, points], check=True, capture_output=True, text=True)
    whole, flow = (float(word) for word in done.stdout.split())
    print(f"Lucas-Kanade forward and backward, {len(clip.truth)} markers of {clip.name}:")
    print(f"  ours {whole:.3f} ms per frame with its regions, {flow:.3f} without")
    return whole


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("--seeds", default="11,12")
    parser.add_argument("--rates", default="60,120")
    parser.add_argument("--clips", default="stk120,stk60,skn120,skn60,stk30over")
    parser.add_argument("--no-clips", action="store_true")
    parser.add_argument("--moving", action="store_true")
    parser.add_argument("--key-every", type=float, default=0.0)
    parser.add_argument("--noise", type=int, default=0, help="strength of ffmpeg's noise filter; 5, 10, 20: 2.6, 5.5, 11 grey levels")
    parser.add_argument("--starts", type=int, default=0, help="further starts per clip, each first mark with a random error of 0.3 px")
    parser.add_argument("--record", action="store_true", help="write the table into tests/MEASUREMENTS.md")
    options = parser.parse_args()
    folder = os.path.join(options.target, "benchmarks")
    generator = os.path.join(options.target, "debug", "demo-clips")
    follow = os.path.join(options.target, "release", "examples", "follow")
    print(f"{'clip':46} median     p95    /100 losses flagged    ms")
    claims, times, table = {"sticker": [], "skin": []}, [], []
    for clip in chosen(options, generator, folder):
        film = clip.decode(folder, options.noise)
        for start in range(options.starts + 1):
            tracks, ms = followers.ours(follow, clip, film, folder, options.key_every, start)
            judged = judge(clip, tracks)
            claims[clip.mode] += judged["claims"]
            print(line(f"    start {start}" if start else clip.name, judged, clip.frames, ms), flush=True)
            table.append(cells(f"{clip.name}, start {start}" if start else clip.name, judged, clip.frames))
        tracks, peer_ms = followers.peer(clip, film)
        print(line("    peer", judge(clip, tracks), clip.frames, peer_ms), flush=True)
        if not times:
            lone_ms = alone(options.target, film, clip)
            print(f"  the peer {peer_ms:.3f} ms with its pyramids: {lone_ms / peer_ms:.2f} of it")
        times.append((ms, peer_ms))
        os.remove(film)
    for mode, part in claims.items():
        if part:
            print(f"Certainty on {mode}:")
            calibration(part)
    if times:
        whole, peers = (sum(column) / len(times) for column in zip(*times))
        print(f"Mean over {len(times)} clips: ours {whole:.2f} ms per frame, the peer {peers:.2f}: {whole / peers:.2f} of it")
    if options.record:
        record.table("tracking", ["clip", "median, 95 %", "corrections per 100 frames"], table)


if __name__ == "__main__":
    sys.exit(main())
