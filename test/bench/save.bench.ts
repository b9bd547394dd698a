import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { exampleSession } from "../../src/main/example/example-session.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile, SESSION_FILE } from "../../src/main/store/session-file.ts";
import { sessionText } from "../../src/main/store/session-text.ts";
import type { Edit } from "../../src/shared/session/edits.ts";
import type { JournalStep } from "../../src/shared/session/journal.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { bigSession } from "../support/big-session.ts";
import { stepOf } from "../support/step-of.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, type Figure, median, ms, percentile, ratio } from "./figures.ts";

const MOST_MS = 50;
const SAVES = 60; // a round and a size
// oftener than a person moves marks, so that the document's file is being written meanwhile
const PAUSE_MS = 100;

/**
 * Saves of one moved mark through the store, as the service makes them, on the example's document, one of 6.6
 * MB and one of 40 MB: from the step until it is acknowledged, flushed to the disk. The document's file
 * follows meanwhile, as it does for a person.
 */
export async function benchSave(rounds: number): Promise<BenchPart> {
  const example = exampleSession(1);
  const sizes = [
    { what: "the example", session: example },
    { what: "6.6 MB", session: bigSession(6.6e6) },
    { what: "40 MB", session: bigSession(40e6) },
  ];
  const took = sizes.map((): number[] => []);
  const firsts = sizes.map((): number[] => []);
  for (let round = 0; round < rounds; round++) {
    for (const [i, { session }] of sizes.entries()) {
      const [first, ...others] = await savesOf(session);
      firsts[i]!.push(first as number);
      took[i]!.push(...others);
    }
  }
  const small = median(took[0] as number[]);
  return {
    title: "Saving one moved mark",
    figures: sizes.flatMap(({ what }, i): Figure[] => {
      const times = took[i] as number[];
      const high = percentile(times, 0.95);
      return [
        {
          what: `${what}: 95th percentile, median, longest`,
          value: `${ms(high)}, ${ms(median(times))}, ${ms(Math.max(...times))}`,
          target: i === 0 ? null : { text: `<= ${MOST_MS} ms`, met: high <= MOST_MS },
        },
        ...(i === 0
          ? []
          : [{ what: "  median over the example's", value: ratio(median(times) / small), target: null }]),
        {
          what: "  the first of a folder without history",
          value: ms(median(firsts[i] as number[])),
          target: null,
        },
      ];
    }),
    notes: [
      `${SAVES} saves a round and a size, ${PAUSE_MS} ms apart, ${rounds} rounds; the file of the document was written meanwhile, and held the last step in the end`,
      `as JSON without spaces: ${sizes.map(({ session }) => `${(JSON.stringify(session).length / 1e6).toFixed(1)} MB`).join(", ")}`,
    ],
  };
}

/**
 * ms of each save, the first of the folder first.
 * @throws Error when the folder does not hold the last step in the end
 */
function savesOf(start: Session): Promise<readonly number[]> {
  return inNewFolder(async (home) => {
    const path = join(home, "field");
    await mkdir(path);
    await writeFile(join(path, SESSION_FILE), sessionText(start));
    const file = createSessionFile(await openFieldFolder(path));
    let { session, revision } = await file.read();
    const times: number[] = [];
    for (let n = 0; n <= SAVES; n++) {
      const { after, step } = moved(session, n);
      const from = performance.now();
      revision = await file.saveSteps([step], revision);
      times.push(performance.now() - from);
      session = after;
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
    }
    await file.settled();
    const stored = await createSessionFile(await openFieldFolder(path)).read();
    if (stored.revision !== revision) throw new Error("The folder does not hold the last save.");
    return times;
  });
}

/** The session with one mark of its last shot moved, and the step to it as a page sends it. */
function moved(session: Session, n: number): { readonly after: Session; readonly step: JournalStep } {
  const shot = session.shots.at(-1);
  const mark = shot?.marks[(7 * n) % shot.marks.length];
  if (shot === undefined || mark === undefined) throw new RangeError("moved: the session has no mark");
  const edit: Edit = { kind: "set-mark", shotId: shot.id, mark: { ...mark, x: mark.x + 0.125 } };
  return stepOf(edit, session);
}
