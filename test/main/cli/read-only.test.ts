import { writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { cli } from "../../support/run-cli.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { withoutRights } from "../../support/without-rights.ts";

it.each([
  ["measure", [], "--out DIR"],
  ["follow", ["--point", "nose", "--save"], "use the copy"],
  ["tune", ["--save"], "use the copy"],
])("%s says before its work that the folder is read-only, and what to do", async (verb, options, remedy) => {
  const folder = await temporaryFolder();
  await writeFile(join(folder, "loftmark.json"), sessionText(sampleSession()));
  const before = await snapshotOf(folder);
  const { status, out, err } = await withoutRights(folder, () => cli([verb, folder, ...options, "--json"]));
  expect(status).toBe(1);
  expect(JSON.parse(out)).toEqual({
    error: {
      code: "folder-read-only",
      cause: `The folder "${basename(folder)}" is read-only: you have no right to it.`,
      remedy: expect.stringContaining(remedy),
    },
  });
  expect(err).toContain("is read-only");
  expect(await snapshotOf(folder)).toEqual(before);
});
