#!/usr/bin/env python3
"""Times the tracker as WASM in Node with 16 markers at 720p and 1080p, and OpenCV native in the same run; run it by run.sh --web.

The clips are those beside the project, enlarged by ffmpeg for 1080p. The markers have no limbs here, since limbs take
little time beside the search. The heap is all memory of the module, with the frame and the compiled tables.
"""

import argparse
import os
import subprocess
import sys

import clips
import followers
import record

FRAMES = 60
MARKERS = 16
# A marker this far inside the frame has its surroundings inside too.
MARGIN_PX = 40


def enlarged(clip, folder, factor):
    """The film and its truth at another size; pixel centres are at integers."""
    path = os.path.join(folder, f"{clip.name}_{factor}.y4m")
    command = ["ffmpeg", "-y", "-loglevel", "error", "-i", clip.film, "-frames:v", str(FRAMES)]
    command += ["-vf", f"scale=iw*{factor}:ih*{factor}", "-pix_fmt", "yuv420p", "-f", "yuv4mpegpipe", path]
    subprocess.run(command, check=True)
    place = lambda p: ((p[0] + 0.5) * factor - 0.5, (p[1] + 0.5) * factor - 0.5, p[2])
    inside = lambda p: p[0] > MARGIN_PX and p[1] > MARGIN_PX
    names = [name for name, places in clip.truth.items() if inside(places[0])][:MARKERS]
    truth = {name: [place(p) for p in clip.truth[name][:FRAMES]] for name in names}
    return path, clips.Clip(clip.name, clip.film, truth, clip.mode, clip.rate_hz)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--target", required=True)
    parser.add_argument("--script", required=True)
    parser.add_argument("--record", action="store_true")
    options = parser.parse_args()
    folder = os.path.join(options.target, "benchmarks")
    table = []
    print("clip     picture  markers  recipe ms  LK ms  OpenCV LK ms  LK ratio  recipe ratio  seen  heap MiB")
    for name in ("stk120", "skn120"):
        for factor, picture in ((1, "720p"), (1.5, "1080p")):
            clip = clips.beside(name)
            if not clip:
                print(f"NOT RUN: {name} is not in {clips.BESIDE}")
                continue
            film, clip = enlarged(clip, folder, factor)
            markers = film + ".markers.csv"
            with open(markers, "w") as out:
                print("frame,marker,x,y,mode", file=out)
                for marker, places in clip.truth.items():
                    print(f"0,{marker},{places[0][0]},{places[0][1]},{clip.mode}", file=out)
            web = os.path.join(clips.HERE, "wasm.js")
            command = ["node", web, options.script, film, markers, str(FRAMES)]
            done = subprocess.run(command, check=True, capture_output=True, text=True)
            whole, flow, seen, _, heap = map(float, done.stdout.split())
            _, peer = followers.peer(clip, film)
            os.remove(film)
            print(f"{name:8} {picture:8} {len(clip.truth):7} {whole:10.2f} {flow:6.2f} {peer:13.2f} {flow / peer:9.2f}"
                  f" {whole / peer:13.2f} {seen:5.1f} {heap / 2**20:9.1f}", flush=True)
            cells = [f"{whole:.2f} ms per frame; Lucas–Kanade {flow / peer:.2f} of OpenCV's time; heap {heap / 2**20:.0f} MiB"]
            table.append([f"{name}, {picture}, {len(clip.truth)} markers"] + cells)
    if options.record:
        record.table("wasm", ["clip", "measured"], table)


if __name__ == "__main__":
    sys.exit(main())
