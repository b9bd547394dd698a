import fc from "fast-check";

/*
 * Every property test draws the same inputs each time it is run, so that a change passes or fails for what it
 * changed. LOFTMARK_SEED=2 npm test draws others; a failure prints its seed.
 */
const seed = Number(process.env.LOFTMARK_SEED ?? "1");
if (!Number.isSafeInteger(seed)) throw new Error("LOFTMARK_SEED must be a whole number");
fc.configureGlobal({ seed });

export default fc;
