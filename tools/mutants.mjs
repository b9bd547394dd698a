import { readdirSync, readFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import { parseAst } from "rolldown/parseAst";

/**
 * One small fault that can be put into a source file.
 * @typedef {object} Mutant
 * @property {string} file path from the project's root, with forward slashes
 * @property {number} start index of the first character that is replaced
 * @property {number} end
 * @property {string} text what stands there instead
 * @property {Kind} kind
 */

/** @typedef {"arithmetic" | "comparison" | "constant" | "function" | "guard" | "logic" | "sign"} Kind */

/** @type {Readonly<Record<string, string>>} */
const ARITHMETIC = { "+": "-", "-": "+", "*": "/", "/": "*", "**": "*", "+=": "-=", "-=": "+=", "*=": "/=" };
// Not < to <=: on real numbers the two are the same program, so that such a fault says nothing of the tests.
/** @type {Readonly<Record<string, string>>} */
const COMPARISON = { "<": ">", ">": "<", "<=": ">=", ">=": "<=", "===": "!==", "!==": "===" };
/** @type {Readonly<Record<string, string>>} */
const LOGIC = { "&&": "||", "||": "&&" };
/** @type {Readonly<Record<string, string>>} */
const FUNCTION = {
  sin: "cos",
  cos: "sin",
  min: "max",
  max: "min",
  floor: "ceil",
  ceil: "floor",
  abs: "cbrt",
  sqrt: "cbrt",
  hypot: "max",
  SQRT2: "LN2",
  SQRT1_2: "LN2",
  PI: "E",
};

/**
 * Every fault that this script can put into the sources below a folder, in the order of files and places.
 * @param {string} root
 * @param {string} folder from the root
 * @returns {Mutant[]}
 */
export function allMutants(root, folder) {
  return sourcesBelow(join(root, folder)).flatMap((path) => {
    const file = relative(root, path).split(sep).join("/");
    return mutantsOf(file, readFileSync(path, "utf8"));
  });
}

/**
 * @param {string} file its name decides whether it is read as TypeScript or TSX
 * @param {string} source
 * @returns {Mutant[]}
 */
export function mutantsOf(file, source) {
  /** @type {Mutant[]} */
  const found = [];
  walk(parseAst(source, { lang: file.endsWith("x") ? "tsx" : "ts" }), (node) => {
    const faults = FAULTS[node.type]?.(node, source) ?? [];
    found.push(...faults.map((fault) => ({ file, ...fault })));
  });
  return found;
}

/** @typedef {Omit<Mutant, "file">} Fault */

/**
 * The faults of one node of the tree, by its type.
 * @type {Readonly<Record<string, (node: any, source: string) => readonly Fault[]>>}
 */
const FAULTS = {
  BinaryExpression: operatorFaults,
  AssignmentExpression: operatorFaults,
  LogicalExpression: operatorFaults,
  UnaryExpression: ({ operator, start }) =>
    operator === "-" || operator === "!" ? [{ kind: "sign", start, end: start + 1, text: "" }] : [],
  Literal: literalFaults,
  MemberExpression: ({ object, property, computed }) => {
    const text = object.name === "Math" && !computed ? FUNCTION[property.name] : undefined;
    return text === undefined ? [] : [{ kind: "function", start: property.start, end: property.end, text }];
  },
  IfStatement: ({ test, consequent, alternate }) =>
    leaves(consequent) && alternate === null
      ? [{ kind: "guard", start: test.start, end: test.end, text: "false" }]
      : [],
};

/** @param {any} node  @param {string} source  @returns {readonly Fault[]} */
function operatorFaults(node, source) {
  if (joinsText(node)) return [];
  const start = operatorAt(source, node);
  const end = start + node.operator.length;
  const tables = /** @type {const} */ ([
    ["arithmetic", ARITHMETIC],
    ["comparison", COMPARISON],
    ["logic", LOGIC],
  ]);
  return tables.flatMap(([kind, table]) => {
    const text = table[node.operator];
    return text === undefined ? [] : [{ kind, start, end, text }];
  });
}

/** @param {any} node  @returns {readonly Fault[]} */
function literalFaults({ value, raw, start, end }) {
  if (typeof value === "number") {
    return [{ kind: "constant", start, end, text: value === 0 ? "1" : `(2 * ${raw})` }];
  }
  return typeof value === "boolean" ? [{ kind: "logic", start, end, text: String(!value) }] : [];
}

/** @param {any} node  @returns {boolean} whether a plus may join pieces of text rather than numbers */
function joinsText(node) {
  const isText = (/** @type {any} */ one) =>
    one.type === "TemplateLiteral" ||
    (one.type === "Literal" && typeof one.value === "string") ||
    (one.type === "BinaryExpression" && joinsText(one));
  return /^\+=?$/.test(node.operator) && (isText(node.left) || isText(node.right));
}

/** @param {string} source  @param {any} node  @returns {number} where its operator stands */
function operatorAt(source, node) {
  let at = node.left.end;
  while (at < node.right.start) {
    if (source.startsWith("//", at)) at = source.indexOf("\n", at);
    else if (source.startsWith("/*", at)) at = source.indexOf("*/", at) + 2;
    else if (source.startsWith(node.operator, at)) return at;
    else at++;
  }
  throw new RangeError(`operatorAt: no ${node.operator} between ${node.left.end} and ${node.right.start}`);
}

/** @param {any} node  @returns {boolean} whether it is a return, a throw or the like, alone or in braces */
function leaves(node) {
  if (node.type === "BlockStatement") return node.body.length > 0 && leaves(node.body.at(-1));
  return ["ReturnStatement", "ThrowStatement", "ContinueStatement", "BreakStatement"].includes(node.type);
}

/**
 * @param {any} node
 * @param {(node: any) => void} see  types are left out: they are gone when the program runs
 */
function walk(node, see) {
  if (node === null || typeof node !== "object") return;
  if (Array.isArray(node)) {
    for (const one of node) walk(one, see);
    return;
  }
  if (typeof node.type === "string") {
    if (node.type === "ImportDeclaration" || isType(node.type)) return;
    see(node);
  }
  for (const [key, value] of Object.entries(node)) if (key !== "typeAnnotation") walk(value, see);
}

/** @param {string} type  @returns {boolean} */
function isType(type) {
  const expressions = ["TSAsExpression", "TSNonNullExpression", "TSSatisfiesExpression"];
  return type.startsWith("TS") && !expressions.includes(type);
}

/** @param {string} path  @returns {string[]} */
function sourcesBelow(path) {
  return readdirSync(path, { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const inside = join(path, entry.name);
      if (entry.isDirectory()) return sourcesBelow(inside);
      return /\.tsx?$/.test(entry.name) && !entry.name.endsWith(".d.ts") ? [inside] : [];
    });
}

/**
 * The fault that the environment names; null for none.
 * @param {string | undefined} text as JSON
 * @returns {Mutant | null}
 */
export function faultFrom(text) {
  return text === undefined || text === "" ? null : JSON.parse(text);
}
