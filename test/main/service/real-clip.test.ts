import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { createService, type Service } from "../../../src/main/service/create-service.ts";
import { createClient, framePath } from "../../../src/shared/api/client.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { makeClip } from "../../support/make-clip.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

let service: Service | undefined;

afterEach(() => service?.close());

it("the service gives the facts and exact frames of a real clip through ffmpeg, whole and half size", async () => {
  const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  await makeClip(join(folder, "-a 'clip'.mp4"), 20);
  const media = createMedia({ ffmpegPath: findFfmpeg()!.path, cacheDir });
  const running = createService({ folder, cacheDir, media });
  service = running;
  const ask = (path: string) => running.fetch(new Request(`http://any${path}`));
  const client = createClient((path, init) => running.fetch(new Request(`http://any${path}`, init)));

  const [clip] = (await client.clips()).clips;
  const pause = () => new Promise((resolve) => setTimeout(resolve, 10));
  const { facts } = await client.runJob({ kind: "inspect", clip: clip!.name }, { pause });
  expect(facts).toMatchObject({ name: "-a 'clip'.mp4", width: 320, height: 240, codec: "h264" });
  expect(facts!.pts).toHaveLength(20);

  const { differences } = await client.runJob({ kind: "differences", clip: clip!.name }, { pause });
  expect(differences).toHaveLength(20);
  expect(differences!.slice(0, 2)).toEqual([null, expect.any(Number)]);

  const seen: number[] = [];
  const extract = { kind: "extract", clip: clip!.name, from: 3, to: 9, size: "full" } as const;
  const job = await client.runJob(extract, { pause, onProgress: ({ fraction }) => seen.push(fraction) });
  expect([job.state, seen.at(-1)]).toEqual(["done", 1]);
  const sizes = [];
  for (const size of ["full", "half"] as const) {
    const reply = await ask(framePath(clip!.name, 7, size, facts!));
    // facts and folder agree on the clip's version
    expect(reply.headers.get("cache-control")).toContain("immutable");
    sizes.push(jpegSize(new Uint8Array(await reply.arrayBuffer())));
  }
  expect(sizes).toEqual([
    [320, 240],
    [160, 120],
  ]);
});

/** Width and height from a JPEG's start-of-frame segment (ITU-T T.81, B.2.2). */
function jpegSize(bytes: Uint8Array): [number, number] {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  expect(view.getUint16(0)).toBe(0xffd8);
  for (let at = 2; at < bytes.length; at += 2 + view.getUint16(at + 2)) {
    if (view.getUint8(at + 1) >= 0xc0 && view.getUint8(at + 1) <= 0xc2) {
      return [view.getUint16(at + 7), view.getUint16(at + 5)];
    }
  }
  throw new Error("no start of frame");
}
