import { closeSync, openSync, readFileSync, writeSync } from "node:fs";
import { join } from "node:path";
import { withFolderLock } from "../../src/main/store/folder-lock.ts";

/*
 * A program: adds one to the number in FOLDER/count, COUNT times, each time under the folder's lock, and
 * writes a line for every one that is done. The number is read and written without any other protection: two
 * at once lose one. Usage: FOLDER COUNT
 */
const [folder, count] = process.argv.slice(2);
const file = join(folder!, "count");

for (let done = 0; done < Number(count); done++) {
  await withFolderLock(
    folder!,
    async () => {
      const next = Number(readFileSync(file, "latin1")) + 1;
      await new Promise((resolve) => setImmediate(resolve)); // lets go of the thread, as real work does
      const open = openSync(file, "r+");
      // of one length: a kill comes before or after it
      writeSync(open, `${String(next).padStart(9, "0")}\n`, 0);
      closeSync(open);
      writeSync(1, `counted ${next}\n`); // at once, without a buffer
    },
    { waitMs: Number.POSITIVE_INFINITY },
  );
}
