import { createHash } from "node:crypto";
import { rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { createFactsCache } from "../../../src/main/service/facts-cache.ts";
import { findNotedClip } from "../../../src/main/service/find-noted-clip.ts";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { faultOf } from "../../support/fault-of.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const TEXT = "clip of 12 frames";

/** A folder whose a.mp4 the session noted. */
async function bench(clips: Session["clips"] = [noteOf("a.mp4", TEXT)]) {
  const path = await temporaryFolder();
  const put = (name: string, text: string) => writeFile(join(path, name), text);
  await put("a.mp4", TEXT);
  const folder = await openFieldFolder(path);
  const { fingerprints } = createFactsCache(paperMedia().media, await temporaryFolder());
  const session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", "a.mp4")], clips };
  const find = () => findNotedClip(session, folder, "a.mp4", fingerprints);
  const renamed = (to: string) => rename(join(path, "a.mp4"), join(path, to));
  return { put, find, renamed };
}

function noteOf(name: string, text: string) {
  const fingerprint = `sha256-${createHash("sha256").update(text).digest("hex")}`;
  return { name, bytes: text.length, fingerprint };
}

it("gives the clip that was noted, and one that never was", async () => {
  expect((await (await bench()).find()).name).toBe("a.mp4");
  const { put, find } = await bench([]);
  await put("a.mp4", "something else");
  expect((await find()).name).toBe("a.mp4");
});

it.each([
  ["of the same length", "clip of 13 frames"],
  ["of another length", "clip of 130 frames"],
])("refuses another content %s under the same name, and says what to do", async (_, text) => {
  const { put, find } = await bench();
  await put("a.mp4", text);
  expect(await faultOf(find())).toEqual({
    code: "another-clip",
    cause:
      "a.mp4 is not the clip that the marks were placed in: the file under that name has another content.",
    remedy:
      "Under Clip, use the clip that was marked, or say that this is the same shot, re-encoded or trimmed.",
  });
});

it("names the file that the clip was renamed to, whether another took its name or none did", async () => {
  const { put, find, renamed } = await bench();
  await renamed("flight.mp4");
  await put("decoy.mp4", "clip of 99 frames");
  const remedy = "flight.mp4 is the clip that was marked: choose it for the shot under Clip.";
  expect(await faultOf(find())).toMatchObject({ code: "no-such-clip", remedy });
  await put("a.mp4", "clip of 13 frames");
  expect(await faultOf(find())).toMatchObject({ code: "another-clip", remedy });
});

it("says as before that a clip is missing which is nowhere", async () => {
  const { find, renamed } = await bench();
  await renamed("flight.txt");
  expect(await faultOf(find())).toMatchObject({
    code: "no-such-clip",
    remedy: "Copy the clip into the field folder under this name, or choose another clip for the shot.",
  });
});
