import type { z } from "zod";

type Issue = z.core.$ZodIssue;

/** The part of a JSON Schema that is read here. */
interface SchemaNode {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly items?: SchemaNode;
  readonly prefixItems?: readonly SchemaNode[];
  readonly anyOf?: readonly SchemaNode[];
  readonly oneOf?: readonly SchemaNode[];
}

/**
 * Words one schema failure for a person: the path of the field, what the field means where the JSON Schema
 * says so, what was found and what is wanted. Example:
 * `airframe.massKg.value (kg, all-up mass as launched): got -1, wanted a number above 0`.
 * @param input the document that was refused: what was found is read from it
 * @param jsonSchema the JSON Schema of the whole document, for the meaning of the field
 */
export function wordIssue(issue: Issue, input: unknown, jsonSchema: unknown): string {
  const path = issue.path.map((step) => (typeof step === "number" ? step : String(step)));
  const meaning = meaningAt(jsonSchema as SchemaNode, path);
  const where = path.length === 0 ? "the document" : wordPath(path);
  return `${where}${meaning === null ? "" : ` (${meaning})`}: ${wordFinding(issue, valueAt(input, path))}`;
}

/** `shots[0].marks[3].x` */
export function wordPath(path: readonly (string | number)[]): string {
  return path
    .map((step, i) => (typeof step === "number" ? `[${step}]` : i === 0 ? step : `.${step}`))
    .join("");
}

function wordFinding(issue: Issue, found: unknown): string {
  const got = `got ${wordValue(found)}`;
  switch (issue.code) {
    case "invalid_type":
      return `${got}, wanted ${ARTICLES[issue.expected] ?? issue.expected}`;
    case "invalid_value":
      return `${got}, wanted ${issue.values.map((value) => JSON.stringify(value)).join(" or ")}`;
    case "too_small":
      return `${got}, wanted ${amount(issue.origin, issue.inclusive === true ? "at least" : "above", issue.minimum)}`;
    case "too_big":
      return `${got}, wanted ${amount(issue.origin, issue.inclusive === true ? "at most" : "below", issue.maximum)}`;
    case "unrecognized_keys":
      return `has no field ${issue.keys.map((key) => `"${key}"`).join(", ")}; wanted only known fields`;
    case "invalid_union":
      return `${got}, wanted one of the kinds the format knows`;
    case "invalid_format":
      return `${got}, wanted ${issue.message}`;
    default:
      return issue.message;
  }
}

const ARTICLES: Readonly<Record<string, string>> = {
  number: "a number",
  int: "a whole number",
  string: "a text",
  object: "an object",
  array: "a list",
  tuple: "a list",
  boolean: "true or false",
};

function amount(origin: string, relation: string, bound: number | bigint): string {
  if (origin === "string") return `a text of ${relation} ${bound} characters`;
  if (origin === "array") return `a list of ${relation} ${bound} entries`;
  return `a number ${relation === "at least" || relation === "at most" ? `of ${relation}` : relation} ${bound}`;
}

const SHOWN_CHARACTERS = 60; // enough to recognise the value, short enough for one line

function wordValue(found: unknown): string {
  if (found === undefined) return "nothing";
  if (Array.isArray(found)) return `a list of ${found.length}`;
  if (typeof found === "object" && found !== null) return "an object";
  if (typeof found === "number") return String(found);
  const text = JSON.stringify(found) ?? String(found);
  return text.length > SHOWN_CHARACTERS ? `${text.slice(0, SHOWN_CHARACTERS)}…` : text;
}

function valueAt(input: unknown, path: readonly (string | number)[]): unknown {
  let at: unknown = input;
  for (const step of path) {
    if (typeof at !== "object" || at === null || !Object.hasOwn(at, step)) return undefined;
    at = (at as Record<string | number, unknown>)[step];
  }
  return at;
}

/**
 * The description of the field itself or, for the value and u of a measured number, of
 * the number they belong to.
 */
function meaningAt(schema: SchemaNode, path: readonly (string | number)[]): string | null {
  let nodes: readonly SchemaNode[] = alternatives(schema);
  let parent: string | null = null;
  let own: string | null = null;
  for (const step of path) {
    parent = own;
    nodes = nodes.flatMap((node) => stepInto(node, step)).flatMap(alternatives);
    own = nodes.find((node) => node.description !== undefined)?.description ?? null;
  }
  if (path.at(-1) === "u" && parent !== null) return `standard uncertainty of: ${parent}`;
  return own ?? (path.length > 1 ? parent : null);
}

function stepInto(node: SchemaNode, step: string | number): readonly SchemaNode[] {
  const next = typeof step === "number" ? (node.prefixItems?.[step] ?? node.items) : node.properties?.[step];
  return next === undefined ? [] : [next];
}

function alternatives(node: SchemaNode): readonly SchemaNode[] {
  const inner = [...(node.anyOf ?? []), ...(node.oneOf ?? [])];
  return inner.length === 0 ? [node] : [node, ...inner.flatMap(alternatives)];
}
