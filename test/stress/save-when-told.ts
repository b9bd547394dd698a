import { writeSync } from "node:fs";
import { createInterface } from "node:readline";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";
import type { Session } from "../../src/shared/session/schema.ts";

/*
 * A program: keeps the session of FOLDER open and adds a word to the first shot's notes for every line
 * "WORD DELAY_MS" it is given. Like a window, it saves on the revision it read last; refused because
 * another saved first, it reads the other's and makes its change again. Writes "saved WORD REFUSALS" when
 * the save was acknowledged.
 */
const file = createSessionFile(await openFieldFolder(process.argv[2]!));
let stored = await file.read();
writeSync(1, "ready\n");

for await (const line of createInterface({ input: process.stdin })) {
  const [word, delayMs] = line.split(" ");
  await new Promise((resolve) => setTimeout(resolve, Number(delayMs)));
  for (let refusals = 0; ; refusals++) {
    const session = withWord(stored.session, word!);
    try {
      stored = { ...stored, session, revision: await file.save(session, stored.revision) };
      writeSync(1, `saved ${word} ${refusals}\n`);
      break;
    } catch (error) {
      if (!(error instanceof FaultError) || error.fault.code !== "session-changed") throw error;
      stored = await file.read();
    }
  }
  stored = await file.read();
  writeSync(1, `read ${word}\n`);
}

function withWord(session: Session, word: string): Session {
  const [first, ...others] = session.shots;
  return { ...session, shots: [{ ...first!, notes: `${first!.notes} ${word}` }, ...others] };
}
