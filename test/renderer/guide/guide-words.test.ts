import { createElement } from "react";
import { renderToStaticMarkup } from "react-dom/server";
import { expect, it } from "vitest";
import { GuideGo, GuideText } from "../../../src/renderer/guide/GuideText.tsx";
import { guideParts, guideWords } from "../../../src/renderer/guide/guide-parts.ts";
import { wordsIn } from "../../../src/renderer/guide/words-in.ts";

const GUIDE = `# Guide

Words before.

## One (of two)

Some **bold** text
on two lines, [away](other.md), [near](#two).

![A picture](pictures/a.png)

<script>alert(1)</script>

### Two

| word | means |
| --- | --- |
| scatter, scatters, ± | How far they differ. |
| degrees of freedom | How many are left. |
`;
const parts = guideParts(GUIDE);
const words = guideWords(parts);

it("takes a guide apart at its headings, with the words of each on one line for a search", () => {
  expect(parts.map(({ title, depth }) => [title, depth])).toEqual([
    ["Guide", 1],
    ["One (of two)", 2],
    ["Two", 3],
  ]);
  expect(parts[1]!.plain).toContain("Some bold text on two lines, away, near.");
});

it("reads the explained words from the table whose first column is headed so", () => {
  expect(words).toEqual([
    { forms: ["scatter", "scatters", "±"], means: "How far they differ." },
    { forms: ["degrees of freedom"], means: "How many are left." },
  ]);
});

it("finds each word where it stands first, whole, in its own letters, across an unbreakable space; a sign never", () => {
  const text = "Scatter of 5 ± 1 at 3 degrees of\u00a0freedom; scatters, scattered, back-scatter.";
  const found = wordsIn(text, words);
  expect(found.map((stretch) => stretch.text).join("")).toBe(text);
  expect(found.filter(({ word }) => word !== null).map((stretch) => stretch.text)).toEqual([
    "Scatter",
    "degrees of\u00a0freedom",
  ]);
  expect(wordsIn("back-scatter, scattered", words)).toEqual([
    { text: "back-scatter, scattered", word: null },
  ]);
  expect(wordsIn("scatter", [])).toEqual([{ text: "scatter", word: null }]);
});

it("shows text and the pictures that came with the program, and nothing else that the text may hold", () => {
  const shown = renderToStaticMarkup(
    createElement(
      GuideGo,
      { value: { go: () => {}, pictures: { "pictures/a.png": "assets/a.png" } } },
      parts.map(({ title, text }) => createElement(GuideText, { key: title, tokens: text })),
    ),
  );
  expect(shown).toContain('<img src="assets/a.png" alt="A picture"/>');
  expect(shown).toContain("away, <button"); // a document that does not lie beside the window is only named
  expect(shown).not.toMatch(/script|<a |alert/);
  expect(shown).toContain('<tr id="guide-scatter" tabindex="-1">');
  const withoutPictures = parts.map(({ text }) =>
    renderToStaticMarkup(createElement(GuideText, { tokens: text })),
  );
  expect(withoutPictures.join("")).not.toContain("<img");
});
