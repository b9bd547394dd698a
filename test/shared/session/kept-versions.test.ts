import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { sessionJsonSchema } from "../../../src/shared/session/json-schema.ts";
import { openSession } from "../../../src/shared/session/open-session.ts";
import { SESSION_VERSION } from "../../../src/shared/session/schema.ts";

/*
 * Documents as earlier versions saved them. They are never changed: a person's files are not either.
 */
const KEPT = join(import.meta.dirname, "kept");
const names = readdirSync(KEPT);
const documents = names.filter((name) => name.endsWith(".json"));
const read = (name: string) => readFileSync(join(KEPT, name), "utf8");

describe("documents of earlier versions", () => {
  it("are kept of every version there was", () => {
    const versions = new Set(documents.map((name) => Number(/^version-(\d+)-/.exec(name)?.[1])));
    const earlier = Array.from({ length: SESSION_VERSION - 1 }, (_, i) => i + 1);
    expect([...versions].sort()).toEqual(earlier);
  });

  it.each(documents)("open with everything in them: %s", (name) => {
    const document = JSON.parse(read(name));
    const opened = openSession(document);
    if (!opened.ok) throw new Error(opened.fault.cause);
    expect(opened.fromVersion).toBe(document.version);
    // Nothing has been renamed or left out so far: all that a version added is optional.
    expect(opened.session).toEqual({ ...document, version: SESSION_VERSION });
  });
});

describe("the form of the session", () => {
  it("changes only with the version: raise SESSION_VERSION, migrate, and keep a document of the version before", () => {
    const fields = [...new Set(fieldsOf(sessionJsonSchema() as Node, ""))].sort();
    expect(fields.join("\n")).toBe(read(`version-${SESSION_VERSION}-fields.txt`).trimEnd());
  });
});

interface Node {
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly prefixItems?: readonly Node[];
  readonly anyOf?: readonly Node[];
  readonly oneOf?: readonly Node[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
}

/** Each field by its path, with the kind of value or the choices that it takes. */
function fieldsOf(node: Node, path: string): string[] {
  const choices = [...(node.enum ?? []), ...(node.const === undefined ? [] : [node.const])];
  return [
    ...(node.type === undefined && choices.length === 0 ? [] : [`${path}: ${node.type ?? ""}`]),
    ...choices.filter((one) => one !== SESSION_VERSION).map((one) => `${path} = ${JSON.stringify(one)}`),
    ...[...(node.anyOf ?? []), ...(node.oneOf ?? [])].flatMap((one) => fieldsOf(one, path)),
    ...[...(node.prefixItems ?? []), ...(node.items ? [node.items] : [])].flatMap((one) =>
      fieldsOf(one, `${path}[]`),
    ),
    ...Object.entries(node.properties ?? {}).flatMap(([name, one]) => fieldsOf(one, `${path}.${name}`)),
  ];
}
