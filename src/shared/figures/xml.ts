/**
 * Text as XML character data or attribute value: the five marks escaped, characters XML 1.0 forbids replaced.
 */
export function escapeXml(text: string): string {
  return text
    .replace(/\p{Surrogate}/gu, "\ufffd")
    .replace(FORBIDDEN, "\ufffd")
    .replace(/[&<>"']/g, (mark) => ESCAPES[mark]);
}

const ESCAPES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

// Everything outside the production Char of XML 1.0, 2.2, once surrogates are paired.
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it is for
const FORBIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;

export type Attributes = Readonly<Record<string, string | number | undefined>>;

/** One element. Attribute values are escaped here (undefined ones left out); content must already be XML. */
export function element(name: string, attributes: Attributes = {}, ...content: readonly string[]): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === "number" ? rounded(value) : escapeXml(value!)}"`)
    .join("");
  const inside = content.join("");
  return inside === "" ? `<${name}${written}/>` : `<${name}${written}>${inside}</${name}>`;
}

/**
 * A length in px to a hundredth.
 * @throws RangeError when not finite: a caller's bug that would draw nothing, silently
 */
export function rounded(px: number): string {
  if (!Number.isFinite(px)) throw new RangeError(`rounded: need a finite length; got ${px}`);
  const text = String(Math.round(px * 100) / 100);
  return text === "-0" ? "0" : text;
}
