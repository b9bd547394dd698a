import { describe, expect, it } from "vitest";
import { isReadOnly, saveText } from "../../../src/renderer/ledger/save-text.ts";
import type { FaultCode } from "../../../src/shared/quantity/fault-codes.ts";

const failed = (code: FaultCode) =>
  ({ status: "failed", fault: { code, cause: "C.", remedy: "R." } }) as const;

describe("saveText", () => {
  it.each([
    [{ status: "saved" }, "saved", "read-only"],
    [{ status: "waiting" }, "saving", "only in this window"],
    [{ status: "saving" }, "saving", "only in this window"],
    [failed("disk-full"), "not saved", "not saved"],
    [failed("folder-read-only"), "only in this window", "only in this window"],
  ] as const)("says of %j %s, and in a read-only folder %s", (save, writable, readOnly) => {
    expect([saveText(save, "writable"), saveText(save, "read-only")]).toEqual([writable, readOnly]);
  });

  it("knows a save that fails because the folder is read-only from one that may be tried again", () => {
    expect(isReadOnly(failed("folder-read-only"))).toBe(true);
    expect(isReadOnly(failed("disk-full"))).toBe(false);
    expect(isReadOnly({ status: "saved" })).toBe(false);
  });
});
