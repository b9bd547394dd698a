import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { z } from "zod";
import { openShelf } from "../../../src/shared/shelf/open-shelf.ts";
import { SHELF_VERSION, ShelfSchema } from "../../../src/shared/shelf/shelf-schema.ts";
import { fieldsOf } from "../../support/schema-fields.ts";

const read = (name: string) => readFileSync(join(import.meta.dirname, "kept", name), "utf8");

it("the shelf's form changes only with its version: raise SHELF_VERSION, migrate, and keep a shelf of the version before", () => {
  expect(fieldsOf(z.toJSONSchema(ShelfSchema), SHELF_VERSION)).toBe(
    read(`version-${SHELF_VERSION}-fields.txt`).trimEnd(),
  );
});

it("a shelf with every kind of thing on it opens with everything in it", () => {
  const document = JSON.parse(read("version-1.json"));
  expect(openShelf(document, "")).toEqual({ ok: true, shelf: document });
});
