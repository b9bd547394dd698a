import { readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it, vi } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const MARKED = "the clip that was marked";
const FINGERPRINT = "sha256-6db4b387ee820746375cb346aa56cd39d9b30d80ebe4b4f8103d22eea840122d";

/**
 * A folder whose session noted one.mp4, and where another content of the same length lies under that name.
 */
async function swapped() {
  const folder = await temporaryFolder();
  vi.stubEnv("LOFTMARK_CACHE", await temporaryFolder());
  const clips = [{ name: "one.mp4", bytes: MARKED.length, fingerprint: FINGERPRINT }];
  const session = { ...sampleSession(), shots: sampleSession().shots.slice(0, 1), clips };
  await writeFile(join(folder, "loftmark.json"), sessionText(session));
  await writeFile(join(folder, "one.mp4"), MARKED.toUpperCase());
  return folder;
}

it.each([
  ["measure"],
  ["follow", "--point", "nose", "--save"],
  ["tune", "--parameters", "slidingN", "--save"],
])(
  "%s refuses a shot whose clip was swapped under its name, before anything is read from it",
  async (verb, ...options) => {
    const folder = await swapped();
    const before = await readFile(join(folder, "loftmark.json"), "utf8");
    const { status, err } = await cli([verb!, folder, ...options]);
    const said = err.replace(/\s+/g, " ");
    expect(status).toBe(1);
    expect(said).toContain("one.mp4 is not the clip that the marks were placed in");
    expect(await readFile(join(folder, "loftmark.json"), "utf8")).toBe(before);
  },
);

it("follow and measure name the file that the clip was renamed to", async () => {
  const folder = await swapped();
  await rename(join(folder, "one.mp4"), join(folder, "other.mp4"));
  await writeFile(join(folder, "flight.mp4"), MARKED);
  for (const given of [["measure"], ["follow", "--point", "nose"]]) {
    const { status, err } = await cli([given[0]!, folder, ...given.slice(1)]);
    expect(status).toBe(1);
    expect(err.replace(/\s+/g, " ")).toContain(
      "flight.mp4 is the clip that was marked: choose it for the shot",
    );
  }
});
