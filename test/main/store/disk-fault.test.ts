import { describe, expect, it } from "vitest";
import { diskFault } from "../../../src/main/store/disk-fault.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";

const failure = (code: string) => Object.assign(new Error(code), { code });

describe("diskFault", () => {
  it.each([
    ["ENOSPC", "disk-full", "loftmark.json could not be saved: the disk is full."],
    ["EACCES", "not-allowed", "loftmark.json could not be saved: you have no right to it."],
    ["EROFS", "read-only-disk", "loftmark.json could not be saved: the disk is read-only."],
    ["ENXIO", "disk-gone", "loftmark.json could not be saved: the disk or card is not there any more."],
    ["ENODEV", "disk-gone", "loftmark.json could not be saved: the disk or card is not there any more."],
    ["ENOMEDIUM", "disk-gone", "loftmark.json could not be saved: there is no card in the reader."],
    ["ESTALE", "disk-gone", "loftmark.json could not be saved: the network drive no longer knows it."],
    ["ENOTCONN", "disk-gone", "loftmark.json could not be saved: the drive is no longer connected."],
    ["ETIMEDOUT", "disk-slow", "loftmark.json could not be saved: the drive did not answer in time."],
    ["EIO", "disk-error", "loftmark.json could not be saved: the disk could not read or write it."],
    ["EMFILE", "too-many-files", "loftmark.json could not be saved: Loftmark has too many files open."],
    [
      "ENAMETOOLONG",
      "bad-file-name",
      "loftmark.json could not be saved: its name or path is too long for this disk.",
    ],
    [
      "EFBIG",
      "file-too-large",
      "loftmark.json could not be saved: the file is larger than this disk can hold.",
    ],
    ["EISDIR", "in-the-way", "loftmark.json could not be saved: a folder of that name is in its place."],
    ["EWHATEVER", "disk-error", "loftmark.json could not be saved: the system says EWHATEVER."],
  ])("words %s as %s with a remedy", (code, faultCode, cause) => {
    const fault = diskFault(failure(code), "loftmark.json could not be saved");
    expect(fault).toBeInstanceOf(FaultError);
    expect((fault as FaultError).fault).toMatchObject({
      code: faultCode,
      cause,
      remedy: expect.stringMatching(/^[A-Z].+\.$/),
    });
  });

  it("passes on faults that are worded already and bugs", () => {
    const worded = new FaultError("folder-gone", "b.", "c.");
    const bug = new TypeError("bug");
    const stopped = new DOMException("stopped", "AbortError"); // its code is the number 20
    const misuse = Object.assign(new TypeError("misuse"), { code: "ERR_INVALID_ARG_TYPE" });
    for (const error of [worded, bug, stopped, misuse, "text"]) expect(diskFault(error, "x")).toBe(error);
  });
});
