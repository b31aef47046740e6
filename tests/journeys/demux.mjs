// What mediabunny reads in the clips named: a line of JSON for each, its packets in the order of decoding.

import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(new URL("../package.json", import.meta.url));
const library = await import(pathToFileURL(require.resolve("mediabunny")).href);
const { ALL_FORMATS, EncodedPacketSink, FilePathSource, Input } = library.default ?? library;

for (const path of process.argv.slice(2)) {
  let told;
  try {
    const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(path) });
    const track = await input.getPrimaryVideoTrack();
    const packets = [];
    for await (const p of new EncodedPacketSink(track).packets(undefined, undefined, { metadataOnly: true })) {
      packets.push([p.timestamp, p.byteLength, p.type === "key"]);
    }
    told = { size_px: [track.codedWidth, track.codedHeight], rotation: track.rotation, packets };
  } catch (error) {
    told = { error: String(error) };
  }
  console.log(JSON.stringify(told));
}
