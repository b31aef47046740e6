// Times the tracker as WASM on one clip: node wasm.js TRACKER.js CLIP.y4m MARKERS.csv FRAMES [LIMBS]
// prints milliseconds per frame of the whole tracker and of Lucas-Kanade forward and backward, markers seen, heap bytes.
const fs = require('fs');
const [script, clip, markersFile, mostFrames] = process.argv.slice(2);
const tracker = require(script);

const file = fs.openSync(clip, 'r');
const head = Buffer.alloc(4096);
fs.readSync(file, head, 0, head.length, 0);
const header = head.subarray(0, head.indexOf(10)).toString();
const field = (letter) => Number(header.split(' ').slice(1).find((w) => w[0] === letter).slice(1));
const [width, height] = [field('W'), field('H')];
const frameBytes = 6 + width * height + 2 * Math.ceil(width / 2) * Math.ceil(height / 2);
const frames = Math.min(Number(mostFrames), Math.floor((fs.fstatSync(file).size - header.length - 1) / frameBytes));
const luma = new Uint8Array(width * height);
const load = (timed, frame) => {
  fs.readSync(file, luma, 0, luma.length, header.length + 1 + frame * frameBytes + 6);
  timed.load(luma);
};

const rows = fs.readFileSync(markersFile, 'utf8').trim().split('\n').slice(1).map((line) => line.split(','));
const places = Float64Array.from(rows.flatMap((row) => [Number(row[2]), Number(row[3])]));
const sticker = rows[0][4] === 'sticker';
// Both ends of each limb by index, as JSON.
const segments = JSON.parse(process.argv[6] || '[]');

const pass = (step) => {
  const timed = new tracker.Timed(width, height);
  load(timed, 0);
  timed.begin(places, Uint32Array.from(segments.flat()), sticker);
  let [spent, seen] = [0, 0];
  for (let frame = 1; frame < frames; frame += 1) {
    load(timed, frame);
    // Time of this process, so that other processes do not count.
    const began = process.cpuUsage();
    seen += step(timed);
    const took = process.cpuUsage(began);
    spent += (took.user + took.system) / 1e3;
  }
  timed.free();
  return [spent / (frames - 1), seen / (frames - 1)];
};

// The first pass lets the engine compile; it is not counted.
pass((timed) => timed.step());
const [whole, seen] = pass((timed) => timed.step());
const [flow, home] = pass((timed) => timed.flow());
console.log([whole, flow, seen, home, tracker.heap_bytes()].join(' '));
