import { expect, it } from "vitest";
import { pictureCheckWords } from "../../../src/shared/session/picture-checks.ts";

it("says of what cameras write that nothing gives a few wrong bits away, and of FFV1 that its checksums may", () => {
  for (const codec of ["h264", "hevc", "mpeg4", "mjpeg", "vp9", "prores", "dnxhd"])
    expect(pictureCheckWords({ codec })).toBe(
      `${codec} keeps no checksums: a few wrong bits may show another picture that nothing gives away.`,
    );
  expect(pictureCheckWords({ codec: "ffv1" })).toContain("a wrong picture is found");
});
