import type { GuideWord } from "./guide-parts.ts";

/** A stretch of a text: a word that the guide explains, or what stands between. */
export interface Stretch {
  readonly text: string;
  readonly word: GuideWord | null;
}

/**
 * Cuts a text at the words that the guide explains, each where it stands first. A form of the table without a
 * letter, such as ±, is only looked up there: it stands beside every number.
 */
export function wordsIn(text: string, words: readonly GuideWord[]): readonly Stretch[] {
  const { byForm, found } = SOUGHT.get(words) ?? sought(words);
  if (found === null) return [{ text, word: null }];
  const stretches: Stretch[] = [];
  const named = new Set<GuideWord>();
  let at = 0;
  for (const { 0: form, index } of text.matchAll(found)) {
    const word = byForm.get(form.replace(/\s/g, " ").toLowerCase());
    if (word === undefined || named.has(word)) continue;
    named.add(word);
    if (index > at) stretches.push({ text: text.slice(at, index), word: null });
    stretches.push({ text: form, word });
    at = index + form.length;
  }
  if (at < text.length) stretches.push({ text: text.slice(at), word: null });
  return stretches;
}

interface Sought {
  readonly byForm: ReadonlyMap<string, GuideWord>;
  /** null where no form can be looked up */
  readonly found: RegExp | null;
}

/** Made once for each list of words: texts are looked through whenever they are drawn. */
const SOUGHT = new WeakMap<readonly GuideWord[], Sought>();

function sought(words: readonly GuideWord[]): Sought {
  const byForm = new Map(
    words.flatMap((word) => word.forms.filter((form) => /\p{L}/u.test(form)).map((form) => [form, word])),
  );
  const forms = [...byForm.keys()].sort((a, b) => b.length - a.length);
  const pattern = forms.map((form) => form.replace(/[\\^$.*+?()[\]{}|]/g, "\\$&").replace(/ /g, "\\s"));
  const found =
    forms.length === 0
      ? null
      : new RegExp(`(?<![\\p{L}\\p{N}-])(?:${pattern.join("|")})(?![\\p{L}\\p{N}-])`, "giu");
  const made = { byForm, found };
  SOUGHT.set(words, made);
  return made;
}
