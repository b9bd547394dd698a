import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";

/*
 * Renames the outing in a folder until it cannot be saved. Writes the last title that was
 * acknowledged, and the fault's code.
 */
const file = createSessionFile(await openFieldFolder(process.argv[2]!));
let { session, revision } = await file.read();
let told = session.title;
try {
  for (let count = 0; ; count++) {
    const next = { ...session, title: `Outing ${count} ${"x".repeat(70 + (count % 7))}` };
    revision = await file.save(next, revision);
    session = next;
    told = next.title;
  }
} catch (error) {
  if (!(error instanceof FaultError)) throw error;
  process.stdout.write(JSON.stringify([told, error.fault.code]));
}
