import { createHash } from "node:crypto";
import { symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { listLogs, readFolderLog } from "../../../src/main/store/folder-logs.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

describe("logs of a field folder", () => {
  it("lists CSV and text files in the order a person counts, and nothing else", async () => {
    const folder = await temporaryFolder();
    for (const name of ["log10.csv", "log2.CSV", "notes.txt", "shot.mp4", ".hidden.csv", "loftmark.json"]) {
      await writeFile(join(folder, name), "");
    }
    expect(await listLogs(folder)).toEqual(["log2.CSV", "log10.csv", "notes.txt"]);
  });

  it("reads one with the SHA-256 of its whole content", async () => {
    const folder = await temporaryFolder();
    const text = "time (s),height (m)\n0,0 \u00b5\n";
    await writeFile(join(folder, "log.csv"), text);
    const fingerprint = `sha256-${createHash("sha256").update(text).digest("hex")}`;
    expect(await readFolderLog(folder, "log.csv")).toEqual({
      name: "log.csv",
      bytes: Buffer.byteLength(text),
      fingerprint,
      text,
    });
  });

  it("refuses a missing one, another kind of file, a path, and a link out of the folder", async () => {
    const [folder, other] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(other, "secret.csv"), "x");
    await writeFile(join(folder, "loftmark.json"), "{}");
    await symlink(join(other, "secret.csv"), join(folder, "link.csv"));
    const codes = ["gone.csv", "loftmark.json", "../secret.csv", "link.csv"].map((name) =>
      readFolderLog(folder, name).catch((error: { fault: { code: string } }) => error.fault.code),
    );
    expect(await Promise.all(codes)).toEqual([
      "no-such-log",
      "no-such-log",
      "bad-clip-name",
      "outside-folder",
    ]);
  });
});
