import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { QUANTITIES } from "../../../src/shared/shot/quantity-table.ts";
import {
  ResultsSchema,
  resultsJsonSchema,
  TruthSchema,
  truthJsonSchema,
} from "../../../src/shared/shot/results-schema.ts";

const page = readFileSync(new URL("../../../docs/results-format.md", import.meta.url), "utf8");
const blocks = [...page.matchAll(/```json\n([\s\S]*?)```/g)].map((found) => JSON.parse(found[1]!));

it("the page on the format shows the schemas as they are", () => {
  expect(blocks[2]).toEqual(JSON.parse(JSON.stringify(resultsJsonSchema())));
  expect(blocks[3]).toEqual(JSON.parse(JSON.stringify(truthJsonSchema())));
});

it("the examples of the page fit their schemas", () => {
  expect(ResultsSchema.safeParse(blocks[0]).error).toBeUndefined();
  expect(TruthSchema.safeParse(blocks[1]).error).toBeUndefined();
});

it("the page names every quantity with its unit", () => {
  for (const [name, { unit }] of Object.entries(QUANTITIES))
    expect(page).toContain(`| \`${name}\` | ${unit} |`);
});
