import { describe, expect, it } from "vitest";
import { sessionJsonSchema } from "../../../src/shared/session/json-schema.ts";

interface Node {
  readonly description?: string;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly prefixItems?: readonly Node[];
  readonly anyOf?: readonly Node[];
  readonly oneOf?: readonly Node[];
}

/**
 * Leaves whose meaning is said neither by themselves nor, for value, u and list
 * entries, by what they belong to.
 */
function undescribed(node: Node, path: string, covered: boolean): string[] {
  const described = covered || node.description !== undefined;
  const inner = [...(node.anyOf ?? []), ...(node.oneOf ?? [])];
  const fields = Object.entries(node.properties ?? {});
  const entries = [...(node.prefixItems ?? []), ...(node.items ? [node.items] : [])];
  if (inner.length + fields.length + entries.length === 0)
    return described || node.type === "null" ? [] : [path];
  return [
    ...inner.flatMap((one) => undescribed(one, path, described)),
    ...fields.flatMap(([name, one]) =>
      undescribed(one, `${path}.${name}`, described && (name === "value" || name === "u") && path !== ""),
    ),
    ...entries.flatMap((one) => undescribed(one, `${path}[]`, described && one.properties === undefined)),
  ];
}

describe("sessionJsonSchema", () => {
  it("says what every field means", () => {
    expect(undescribed(sessionJsonSchema() as Node, "", false)).toEqual([]);
  });

  it("would notice a field without a meaning", () => {
    const bare: Node = { properties: { a: { type: "number" }, b: { type: "number", description: "m" } } };
    expect(undescribed(bare, "", false)).toEqual([".a"]);
  });

  it("refuses unknown fields and asks for all of the known ones", () => {
    const schema = sessionJsonSchema();
    expect(schema.additionalProperties).toBe(false);
    expect(schema.required).toEqual([
      "format",
      "version",
      "title",
      "units",
      "points",
      "airframes",
      "launchers",
      "cameras",
      "shots",
    ]);
  });
});
