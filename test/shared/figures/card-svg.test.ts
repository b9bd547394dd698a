import { describe, expect, it } from "vitest";
import { cardPage, cardSvg } from "../../../src/shared/figures/card-svg.ts";
import { cellWords, limitsOfCard } from "../../../src/shared/figures/card-words.ts";
import type { SpeedCard } from "../../../src/shared/next-shot/card-content.ts";
import { speedCard } from "../../../src/shared/next-shot/speed-card.ts";
import type { NextShot } from "../../../src/shared/session/schema.ts";
import { ramSession, ramShot, WING } from "../next-shot/ram-session.ts";
import { type Node, parseXml } from "./well-formed.ts";

const ASK: NextShot = { speedMPerS: null, choose: "pressure", leastStallMargin: 1.2, cardMassesKg: [0.9] };
const card = speedCard(
  ramSession({ reliefPa: 9e5 }, { ...WING, loadLimitG: { value: 40, u: 1 } }, 1),
  ramShot({ value: 5e5, u: 3e3 }),
  ASK,
  [],
);

/** Every text of the drawing, as a reader sees it. */
function textsOf(svg: string): readonly string[] {
  const texts: string[] = [];
  const walk = (node: Node | string) => {
    if (typeof node === "string") return;
    if (node.name === "text") texts.push(inside(node));
    else node.children.forEach(walk);
  };
  const inside = (node: Node): string =>
    node.children.map((one) => (typeof one === "string" ? one : inside(one))).join("");
  walk(parseXml(svg));
  return texts;
}

describe("cardSvg", () => {
  it("is a sheet of two quarters that fits the width of A4 and of Letter, and half the height of both", () => {
    const svg = cardSvg(card, "Inter");
    const [, width, height] = /width="([\d.]+)mm" height="([\d.]+)mm"/.exec(svg)!;
    expect(Number(width)).toBeLessThanOrEqual(210);
    expect(Number(height)).toBeLessThanOrEqual(279 / 2);
    expect(cardPage(card, "Inter")).toContain(svg);
  });

  it("prints each speed with its interval where all limits are kept, and the limit's name elsewhere", () => {
    const texts = textsOf(cardSvg(card, "Inter"));
    for (const { cells } of card.columns) {
      for (const cell of cells) {
        const words = cellWords(cell, "SI");
        if (cell.broken.length > 0) expect(texts).toContain(words.forbidden);
        else expect(texts).toContain(`${words.speed}\u2002${words.interval}`);
      }
    }
    const forbidden = card.columns.flatMap(({ cells }) => cells.filter(({ broken }) => broken.length > 0));
    expect(forbidden.length).toBeGreaterThan(3);
    for (const { speed } of forbidden) {
      expect(texts.some((one) => one.startsWith(`${speed!.value.toFixed(2)}\u2002`))).toBe(false);
    }
  });

  it("says its air, its limits and every caution with the letter that cells refer to", () => {
    const all = textsOf(cardSvg(card, "Inter")).join(" ");
    expect(all).toContain("As in shot-1: air 20 °C, 1.01325 bar, headwind 0 m/s.");
    for (const sentence of limitsOfCard(card)) expect(all).toContain(sentence);
    expect(limitsOfCard(card)[0]).toBe("Tank's rating 10.0 bar, relief valve 9.00 bar.");
    expect(limitsOfCard(card)[2]).toMatch(
      /^1\.2 kg: not kept is stall margin up to [\d.]+ bar, load limit from [\d.]+ bar\.$/,
    );
    for (const { notice } of card.cautions) expect(all).toContain(notice.remedy);
    expect(all).toContain("No card says that something is safe.");
  });

  it("takes further quarters where the cautions need them, and leaves none out", () => {
    const many: SpeedCard = {
      ...card,
      cautions: Array.from({ length: 14 }, (_, i) => card.cautions[i % 3]!),
    };
    const svg = cardSvg(many, "Inter");
    const quarters = [...svg.matchAll(/transform="translate\((\d+) (\d+)\)"/g)].map(([, x, y]) => [x, y]);
    expect(quarters.length).toBeGreaterThan(2);
    expect(new Set(quarters.map(String)).size).toBe(quarters.length);
    const letters = textsOf(svg).filter((one) => /^[a-n]$/.test(one));
    expect(letters.join("")).toBe("abcdefghijklmn");
    const lowest = [...svg.matchAll(/ y="([\d.]+)"/g)].map(([, y]) => Number(y));
    expect(Math.max(...lowest)).toBeLessThanOrEqual(524);
  });

  it("says in words that no scatter is known, or how large it is", () => {
    const none = textsOf(cardSvg(card, "Inter")).join(" ");
    expect(none).toContain("by the model's uncertainty alone: no scatter from shot to shot is known yet.");
    const scatter = { relative: 0.012, dof: 5, shots: 6, from: "repeats" } as const;
    const known = textsOf(cardSvg({ ...card, scatter }, "Inter")).join(" ");
    expect(known).toContain("and a scatter of 1.2 % from shot to shot.");
  });

  it("throws RangeError for a card without rows", () => {
    expect(() => cardSvg({ ...card, rows: [] }, "Inter")).toThrow(RangeError);
  });
});
