import markdown from "../../../docs/guide.md?raw";
import { type GuidePart, type GuideWord, guideParts, guideWords } from "./guide-parts.ts";

let read: { readonly parts: readonly GuidePart[]; readonly words: readonly GuideWord[] } | null = null;

/** docs/guide.md, taken apart when it is first asked for. */
export function theGuide() {
  if (read === null) {
    const parts = guideParts(markdown);
    read = { parts, words: guideWords(parts) };
  }
  return read;
}
