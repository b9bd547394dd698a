import type { Step } from "../../app-state/app-state.ts";

/** The part of the guide that each heading is about. */
export const GUIDE_PARTS: Readonly<Record<Step, string>> = {
  clip: "1. Open the folder and add a clip",
  clock: "2. Clock",
  scale: "3. Scale and plumb",
  marks: "4. Points and marks",
  motion: "5. Read the ledger",
  model: "Describing the launcher",
  verdict: "6. Compare",
  tuning: "Tuning",
  "next-shot": "The next shot",
};
