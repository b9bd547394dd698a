import { writeFileSync } from "node:fs";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { saveEdits } from "../../../src/main/store/save-edits.ts";
import { createSessionFile } from "../../../src/main/store/session-file.ts";
import { momentsOf } from "../../../src/main/store/session-history.ts";
import { sessionText } from "../../../src/main/store/session-text.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { faultOf } from "../../support/fault-of.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

async function bench() {
  const path = await temporaryFolder();
  await writeFile(join(path, "loftmark.json"), sessionText({ ...sampleSession(), title: "" }));
  const folder = await openFieldFolder(path);
  return { folder, title: async () => (await createSessionFile(folder).read()).session.title };
}

const withTitle = (more: string) => (session: Session) =>
  [{ kind: "set-title", title: session.title + more }] as const;

it("makes the changes of all who change at once, each on the one before", async () => {
  const { folder, title } = await bench();
  await Promise.all(["a", "b", "c", "d"].map((more) => saveEdits(folder, withTitle(more))));
  expect([...(await title())].sort().join("")).toBe("abcd");
});

it("gives up with what saving said when it is overtaken every time", async () => {
  const { folder, title } = await bench();
  let count = 0;
  const fault = await faultOf(
    saveEdits(folder, (session) => {
      // Between reading and saving, as another program might.
      writeFileSync(
        join(folder.path, "loftmark.json"),
        sessionText({ ...session, title: `other ${++count}` }),
      );
      return [{ kind: "set-title", title: "mine" }];
    }),
  );
  expect(fault.code).toBe("session-changed");
  expect(await title()).toBe(`other ${count}`);
});

it("says in the history what each edit did, and notes a clip as no step of undo", async () => {
  const { folder } = await bench();
  const clip = { name: "one.mp4", bytes: 5, fingerprint: `sha256-${"a".repeat(64)}` };
  await saveEdits(folder, () => [
    { kind: "set-title", title: "titled" },
    { kind: "note-clip", clip },
  ]);
  expect((await momentsOf(folder.path)).slice(0, 2).map(({ kind, says }) => [kind, says])).toEqual([
    ["note", "Noted the content of one.mp4"],
    ["do", 'Named the outing "titled"'],
  ]);
  expect((await createSessionFile(folder).read()).session.clips).toEqual([clip]);
});

it("passes on what the change throws, and saves nothing", async () => {
  const { folder, title } = await bench();
  const bug = new TypeError("bug");
  const failing = saveEdits(folder, () => {
    throw bug;
  });
  await expect(failing).rejects.toBe(bug);
  expect(await title()).toBe("");
});
