/** One element of a parsed XML text. */
export interface Node {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: (Node | string)[];
}

const NAME = "[A-Za-z_][\\w:.-]*";
const TAG = new RegExp(`^<(/?)(${NAME})((?:\\s+${NAME}="[^"<]*")*)\\s*(/?)>`);

/**
 * Strict reader of the part of XML 1.0 that figures use: elements, double-quoted attributes,
 * character data and the escapes.
 * @throws Error at anything else: unclosed or crossed tags, a bare & or <, an attribute given twice.
 */
export function parseXml(xml: string): Node {
  const top: Node = { name: "", attributes: {}, children: [] };
  const open: Node[] = [top];
  let rest = xml;
  while (rest !== "") {
    const here = open.at(-1)!;
    if (!rest.startsWith("<")) {
      const text = rest.slice(0, rest.indexOf("<") === -1 ? undefined : rest.indexOf("<"));
      here.children.push(unescaped(text));
      rest = rest.slice(text.length);
      continue;
    }
    const tag = TAG.exec(rest);
    if (tag === null) throw new Error(`not a tag: ${rest.slice(0, 80)}`);
    rest = rest.slice(tag[0].length);
    const [, closing, name, attributes, empty] = tag;
    if (closing === "/") {
      if (open.length === 1 || here.name !== name) throw new Error(`</${name}> closes <${here.name}>`);
      open.pop();
      continue;
    }
    const node: Node = { name: name!, attributes: attributesOf(attributes!), children: [] };
    here.children.push(node);
    if (empty !== "/") open.push(node);
  }
  if (open.length !== 1) throw new Error(`<${open.at(-1)!.name}> is not closed`);
  if (top.children.length !== 1 || typeof top.children[0] === "string")
    throw new Error("not one root element");
  return top.children[0]!;
}

function attributesOf(text: string): Readonly<Record<string, string>> {
  const found: Record<string, string> = {};
  for (const [, key, value] of text.matchAll(new RegExp(`(${NAME})="([^"]*)"`, "g"))) {
    if (key! in found) throw new Error(`attribute ${key} twice`);
    found[key!] = unescaped(value!);
  }
  return found;
}

function unescaped(text: string): string {
  if (/&(?!(amp|lt|gt|quot|#39);)/.test(text)) throw new Error(`bare &: ${text}`);
  const meant: Record<string, string> = {
    "&amp;": "&",
    "&lt;": "<",
    "&gt;": ">",
    "&quot;": '"',
    "&#39;": "'",
  };
  return text.replace(/&[^;]+;/g, (written) => meant[written]!);
}

/** All elements of a name, in document order. */
export function all(node: Node, name: string): Node[] {
  return node.children.flatMap((child) =>
    typeof child === "string" ? [] : [...(child.name === name ? [child] : []), ...all(child, name)],
  );
}

/** The character data of an element and everything in it. */
export function textOf(node: Node): string {
  return node.children.map((child) => (typeof child === "string" ? child : textOf(child))).join("");
}
