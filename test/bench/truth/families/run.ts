import { parseArgs } from "node:util";
import { FAMILIES } from "./families.ts";
import { familyTable } from "./family-table.ts";

const { values } = parseArgs({
  options: { shots: { type: "string", default: "100" }, family: { type: "string", default: "" } },
});
familyTable(
  FAMILIES.filter(({ name }) => name.includes(values.family)),
  Number(values.shots),
);
