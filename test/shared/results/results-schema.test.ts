import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { QUANTITIES } from "../../../src/shared/results/quantity-table.ts";
import {
  ResultsSchema,
  resultsJsonSchema,
  TruthSchema,
  truthJsonSchema,
} from "../../../src/shared/results/results-schema.ts";

const doc = (name: string) => readFileSync(new URL(`../../../docs/${name}`, import.meta.url), "utf8");
const page = doc("results-format.md");
const blocks = [...page.matchAll(/```json\n([\s\S]*?)```/g)].map((found) => JSON.parse(found[1]!));

it("the schema files beside the page on the format are the schemas as they are", () => {
  expect(JSON.parse(doc("results.schema.json"))).toEqual(JSON.parse(JSON.stringify(resultsJsonSchema())));
  expect(JSON.parse(doc("truth.schema.json"))).toEqual(JSON.parse(JSON.stringify(truthJsonSchema())));
});

it("the examples of the page fit their schemas", () => {
  expect(ResultsSchema.safeParse(blocks[0]).error).toBeUndefined();
  expect(TruthSchema.safeParse(blocks[1]).error).toBeUndefined();
});

it("the page names every quantity with its unit", () => {
  for (const [name, { unit }] of Object.entries(QUANTITIES))
    expect(page).toContain(`| \`${name}\` | ${unit} |`);
});
