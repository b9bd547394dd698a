const LONGEST = 600; // characters; a sentence or four

/**
 * Invisible characters that change how the text around them is read: controls, line separators, directions.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is taken out
const UNSEEN = /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069]+/g;

/**
 * A text that may quote what a file or a program said, as a person can be shown it: on one line, without
 * characters that cannot be seen, and cut at a word with "…" when it is longer than 600 characters.
 */
export function boundedText(text: string): string {
  // What is far too long is cut first, so that a text of megabytes costs nothing.
  const line = text
    .slice(0, 4 * LONGEST)
    .replace(UNSEEN, " ")
    .trim();
  if (line.length <= LONGEST) return line;
  const cut = line.slice(0, LONGEST - 1);
  const word = cut.lastIndexOf(" ");
  return `${cut.slice(0, word > LONGEST / 2 ? word : wholeCharacters(cut))}…`;
}

/** Where a text ends that must not end in the first half of a surrogate pair. */
function wholeCharacters(text: string): number {
  return /[\ud800-\udbff]$/.test(text) ? text.length - 1 : text.length;
}
