import { describe, expect, it } from "vitest";
import { boundedText } from "../../../src/shared/quantity/bounded-text.ts";
import { boundedFault, FaultError } from "../../../src/shared/quantity/notice.ts";

describe("boundedText", () => {
  it("leaves a sentence as it is", () => {
    const sentence = 'The clip "été 12:30.mp4" has no frame 9; its frames count from 0 to 8.';
    expect(boundedText(sentence)).toBe(sentence);
    expect(boundedText("x".repeat(600))).toBe("x".repeat(600));
  });

  it("cuts a long text at a word, and one long word where it must", () => {
    const words = boundedText("word ".repeat(1000));
    expect(words).toMatch(/^(word )+word…$/);
    expect(words.length).toBeGreaterThan(590);
    expect(words.length).toBeLessThanOrEqual(600);
    expect(boundedText("x".repeat(1e6))).toBe(`${"x".repeat(599)}…`);
    expect(boundedText("😀".repeat(1000))).toMatch(/^(😀){299}…$/u);
  });

  it("takes out what cannot be seen: controls, line ends, directions of writing", () => {
    expect(boundedText("a\u001b[31mb\r\nc\u202Ed\u2066e\u0000\u009bf\n")).toBe("a [31mb c d e f");
  });
});

describe("FaultError", () => {
  it("bounds what it quotes, in its fault and its message", () => {
    const { fault, message } = new FaultError("codec-unknown", `a${"\n".repeat(9)}b`, "c ".repeat(5000));
    expect(fault.cause).toBe("a b");
    expect(fault.remedy.length).toBeLessThanOrEqual(600);
    expect(message).toBe(`${fault.cause} ${fault.remedy}`);
    expect(boundedFault(fault)).toEqual(fault);
  });
});
