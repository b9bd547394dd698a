/** A piece of HTML that is already safe to put into a page. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
}

export type HtmlPart = Html | string | number | null | readonly HtmlPart[];

/** HTML with every value escaped unless it is Html itself; lists are joined, null is nothing. */
export function html(strings: TemplateStringsArray, ...parts: readonly HtmlPart[]): Html {
  return new Html(strings.map((text, i) => text + (i < parts.length ? written(parts[i]!) : "")).join(""));
}

/** Marks text as HTML that was made safe elsewhere, e.g. an SVG of the figure writer. */
export function trusted(text: string): Html {
  return new Html(text);
}

function written(part: HtmlPart): string {
  if (part === null) return "";
  if (part instanceof Html) return part.text;
  if (typeof part === "object") return part.map(written).join("");
  return escapeHtml(String(part));
}

const ESCAPES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (mark) => ESCAPES[mark]!);
}
