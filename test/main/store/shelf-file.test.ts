import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { createShelfFile, shelfFolder } from "../../../src/main/store/shelf-file.ts";
import { kept } from "../../../src/shared/shelf/change-shelf.ts";
import { EMPTY_SHELF, type Shelf } from "../../../src/shared/shelf/shelf-schema.ts";
import { faultOf } from "../../support/fault-of.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const AT = "2026-05-02T10:00:00.000Z";
const withCamera = (n: number) => (shelf: Shelf) =>
  kept(shelf, {
    thing: {
      of: "camera",
      camera: { name: `camera ${n}`, captureRateHz: { value: 240 + n, u: 1 }, exposureS: null },
    },
    ...{ shelfId: null, outing: "A made day", at: AT, newId: `camera-${n}` },
  }).shelf;

describe("the shelf on the disk", () => {
  it("begins empty, and holds what many keep at once, with nothing left beside it", async () => {
    const folder = shelfFolder(await temporaryFolder());
    expect(await createShelfFile(folder).read()).toEqual(EMPTY_SHELF);
    await Promise.all(Array.from({ length: 12 }, (_, n) => createShelfFile(folder).change(withCamera(n))));
    const { entries } = await createShelfFile(folder).read();
    expect(entries.map(({ id }) => id).sort()).toEqual(
      Array.from({ length: 12 }, (_, n) => `camera-${n}`).sort(),
    );
    expect(await readdir(folder)).toEqual(["shelf.json"]);
  });

  it.each([
    ["cut short", '{"format": "loftmark-shelf", "ver', "broken-shelf", /cut short/],
    ["no shelf", '{"some": 1}', "broken-shelf", /does not say/],
    [
      "a damaged entry",
      '{"format":"loftmark-shelf","version":1,"entries":[{"id":"camera-1"}]}',
      "broken-shelf",
      /entries\[0\]\.editions/,
    ],
    ["of a newer Loftmark", '{"format":"loftmark-shelf","version":99}', "newer-shelf", /newer Loftmark/],
  ])("that is %s is refused with a cause and left as it is", async (_, text, code, cause) => {
    const folder = shelfFolder(await temporaryFolder());
    await mkdir(folder, { recursive: true });
    const path = join(folder, "shelf.json");
    await writeFile(path, text);
    const file = createShelfFile(folder);
    for (const work of [() => file.read(), () => file.change(withCamera(1))]) {
      const fault = await faultOf(work());
      expect([fault.code, fault.remedy === ""]).toEqual([code, false]);
      expect(fault.cause).toMatch(cause);
    }
    expect(await readFile(path, "utf8")).toBe(text);
    expect(await readdir(folder)).toEqual(["shelf.json"]);
  });
});
