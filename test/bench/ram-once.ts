import { predictRam } from "../../src/shared/launch/ram/predict-ram.ts";
import { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";

/*
 * ram-once CASE: the first prediction of a fresh process, as the command line makes it. Prints its ms.
 */
const name = process.argv[2] as keyof typeof RAM_CASES;
const from = performance.now();
const result = predictRam(RAM_CASES[name]);
const tookMs = performance.now() - from;
if (!result.ok) throw new Error(`${name} was refused: ${result.code}`);
console.log(tookMs);
