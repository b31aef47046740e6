// What mediabunny reads in the clips of the command line: one line of JSON for each, packets in decoding order.

import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(new URL("./package.json", import.meta.url));
const library = await import(pathToFileURL(require.resolve("mediabunny")).href);
const { ALL_FORMATS, EncodedPacketSink, FilePathSource, Input } = library.default ?? library;

for (const path of process.argv.slice(2)) {
  let read;
  try {
    const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(path) });
    const track = await input.getPrimaryVideoTrack();
    const packets = [];
    for await (const p of new EncodedPacketSink(track).packets(undefined, undefined, { metadataOnly: true })) {
      packets.push([p.timestamp, p.byteLength, p.type === "key"]);
    }
    read = { size_px: [track.codedWidth, track.codedHeight], rotation: track.rotation, packets };
  } catch (error) {
    read = { error: String(error) };
  }
  console.log(JSON.stringify(read));
}
