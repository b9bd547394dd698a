import { resultsJsonSchema, truthJsonSchema } from "../../shared/results/results-schema.ts";
import { sessionJsonSchema } from "../../shared/session/json-schema.ts";
import { UsageError, type Verb } from "./verb.ts";

const SCHEMAS: Readonly<Record<string, () => object>> = {
  session: sessionJsonSchema,
  results: resultsJsonSchema,
  truth: truthJsonSchema,
};

export const schemaVerb: Verb = {
  name: "schema",
  usage: "[session | results | truth]",
  summary: "Prints the JSON Schema of loftmark.json, of results.json or of the example's truth.json.",
  details: [
    "session   loftmark.json, the default",
    "results   results.json",
    "truth     truth.json of the example",
  ],
  operands: [0, 1],
  options: {},
  async run({ operands, terminal }) {
    const name = operands[0] ?? "session";
    const make = Object.hasOwn(SCHEMAS, name) ? SCHEMAS[name] : undefined;
    if (make === undefined) throw new UsageError(`There is no schema "${name}".`);
    terminal.out(`${JSON.stringify(make(), null, 2)}\n`);
    return 0;
  },
};
