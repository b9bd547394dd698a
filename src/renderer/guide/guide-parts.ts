import { lexer, type Token, type Tokens } from "marked";

/** One heading of the guide with the text below it, down to the next heading. */
export interface GuidePart {
  readonly title: string;
  /** 1 for the guide's own title, 2 for a heading, 3 for one below it. */
  readonly depth: number;
  readonly text: readonly Token[];
  /** Its words without markup, on one line, to be searched. */
  readonly plain: string;
}

/** A word that the guide explains. */
export interface GuideWord {
  /** The forms it stands in on the window, the first of which is its name. */
  readonly forms: readonly string[];
  readonly means: string;
}

/** The heading of the table that explains words. */
export const WORD_COLUMN = "word";

/** Takes the guide apart at its headings. */
export function guideParts(markdown: string): readonly GuidePart[] {
  const parts: { title: string; depth: number; text: Token[]; plain: string }[] = [];
  for (const token of lexer(markdown)) {
    if (token.type === "heading")
      parts.push({ title: token.text, depth: token.depth, text: [], plain: onOneLine(token.text) });
    else if (token.type !== "space") {
      const part = parts.at(-1);
      part?.text.push(token);
      if (part !== undefined) part.plain += ` ${onOneLine(token.raw)}`;
    }
  }
  return parts;
}

/** The words explained in the guide's table of them. */
export function guideWords(parts: readonly GuidePart[]): readonly GuideWord[] {
  const tables = parts.flatMap(({ text }) =>
    text.filter((token): token is Tokens.Table => isWordTable(token)),
  );
  return tables.flatMap(({ rows }) =>
    rows.map(([word, means]) => ({ forms: (word?.text ?? "").split(", "), means: means?.text ?? "" })),
  );
}

export function isWordTable(token: Token): boolean {
  return token.type === "table" && (token as Tokens.Table).header[0]?.text === WORD_COLUMN;
}

/** Where a heading or a word lies on the page; a link of the guide names the same place. */
export function partId(title: string): string {
  return `guide-${title
    .toLowerCase()
    .replace(/[^\p{L}\p{N} -]/gu, "")
    .replaceAll(" ", "-")}`;
}

function onOneLine(markdown: string): string {
  return markdown
    .replace(/!?\[([^\]]*)\]\([^)]*\)/g, "$1")
    .replace(/\*\*|`/g, "")
    .replace(/\s+/g, " ")
    .trim();
}
