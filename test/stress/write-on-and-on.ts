import { writeSync } from "node:fs";
import { join } from "node:path";
import { writeAtomically } from "../../src/main/store/atomic-write.ts";

/*
 * A program: writes FOLDER/document again and again, each time as KILOBYTES of one digit, until it is killed.
 * Writes "wrote DIGIT" when a write is done. Usage: FOLDER KILOBYTES
 */
const [folder, kilobytes] = process.argv.slice(2);
for (let turn = 0; ; turn++) {
  const digit = String(turn % 10);
  await writeAtomically(join(folder!, "document"), digit.repeat(1024 * Number(kilobytes)));
  writeSync(1, `wrote ${digit}\n`);
}
