import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it, vi } from "vitest";
import { createShelfFile, shelfFolder } from "../../../src/main/store/shelf-file.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

it("loftmark shelf keeps a launcher in one outing, takes it in the next, and says what changed since", async () => {
  const home = await temporaryFolder();
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  const outing = async (name: string, session: Session) => {
    await mkdir(join(home, name));
    await writeFile(join(home, name, "loftmark.json"), JSON.stringify(session));
    return join(home, name);
  };
  const first = await outing("first", sampleSession());
  const next = await outing("next", {
    ...freshSession("Next week"),
    shots: [freshShot("shot-9", "ninth", "nine.mp4")],
  });
  const said = async (...argv: string[]) => {
    const { status, out, err } = await cli(["shelf", ...argv]);
    return { status, out, err, json: argv.includes("--json") && status === 0 ? JSON.parse(out) : null };
  };

  expect((await said()).out).toMatch(/^The shelf is empty/);
  const keep = await said("keep", first, "--launcher", "launcher-1", "--json");
  expect(keep.err).toBe("");
  const { shelfId } = keep.json;
  expect((await said()).out).toMatch(
    new RegExp(`${shelfId} +launcher +invented ram +kept .* from An afternoon`),
  );

  expect((await said("take", next, "--id", shelfId, "--shots", "shot-9", "--json")).json).toEqual({
    id: "launcher-1",
    shelfId,
    edition: 1,
  });
  expect((await said("changes", next)).out).toMatch(/launcher invented ram \(launcher-1\): as on the shelf/);
  // Another outing keeps it with another friction; the shelf's own file stands for that here.
  await createShelfFile(shelfFolder(join(home, "data"))).change((shelf) => {
    const [entry] = shelf.entries as [(typeof shelf.entries)[number]];
    const [one] = entry.editions as [(typeof entry.editions)[number]];
    const text = JSON.stringify(one).replace(
      '"slidingN":{"value":15,"u":4}',
      '"slidingN":{"value":22,"u":2}',
    );
    return { ...shelf, entries: [{ ...entry, editions: [one, { ...JSON.parse(text), edition: 2 }] }] };
  });
  expect((await said("changes", next)).out).toMatch(
    /changed on the shelf since\n.*then +on the shelf\n +sliding friction +15 ± 4 N +22\.0 ± 2\.0 N/,
  );
  await said("take", next, "--id", shelfId);
  expect((await said("changes", next, "--json")).json).toContainEqual(
    expect.objectContaining({ of: "launcher", standing: "known", here: [], onShelf: [] }),
  );

  expect((await said("put-away", "--id", shelfId)).out).toMatch(/^Put away invented ram/);
  expect((await said()).out).toMatch(/^Put away\n/);
  expect((await said("keep", first, "--launcher", "no-such")).err).toMatch(
    /has no launcher "no-such".*launcher-1/s,
  );
  expect((await said("take", first, "--id", "ram-x")).err).toMatch(/no "ram-x" on the shelf/);
  expect([(await said("keep", first)).status, (await said("fold")).status]).toEqual([2, 2]);
  vi.unstubAllEnvs();
});
