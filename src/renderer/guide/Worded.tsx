import { useActions } from "../actions/app-context.ts";
import type { GuideWord } from "./guide-parts.ts";
import { theGuide } from "./the-guide.ts";
import { wordsIn } from "./words-in.ts";

/** A text in which the words that the guide explains lead to their explanation. */
export function Worded({ text }: { readonly text: string }) {
  let at = 0;
  return wordsIn(text, theGuide().words).map((stretch) => {
    const key = at;
    at += stretch.text.length;
    return stretch.word === null ? (
      stretch.text
    ) : (
      <WordLink key={key} word={stretch.word} text={stretch.text} />
    );
  });
}

/**
 * A sign that stands for a word of the guide, such as ±.
 * @throws RangeError if the guide does not explain it: the caller's bug
 */
export function WordSign({ sign }: { readonly sign: string }) {
  const word = theGuide().words.find(({ forms }) => forms.includes(sign));
  if (word === undefined) throw new RangeError(`WordSign: the guide explains no "${sign}"`);
  return <WordLink word={word} text={sign} />;
}

function WordLink({ word, text }: { readonly word: GuideWord; readonly text: string }) {
  const actions = useActions();
  const [name = ""] = word.forms;
  return (
    <button type="button" className="word" title={word.means} onClick={() => actions.showGuide(name)}>
      {text}
    </button>
  );
}
