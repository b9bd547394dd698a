import { writeSync } from "node:fs";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";

/*
 * A program: writes the write-up of FOLDER again and again until it is killed. Every file of a generation
 * holds its number, counted from START. Writes "wrote N" when generation N is done. Usage: FOLDER START
 */
const folder = await openFieldFolder(process.argv[2]!);
const names = ["report.html", "results.json", "marks.csv", "figures/a.svg", "figures/b.svg"];

for (let number = Number(process.argv[3]); ; number++) {
  // Every other one has a file more, so that a mixture also shows in what there is.
  const all = number % 2 === 0 ? [...names, "figures/c.svg"] : names;
  await folder.writeUp(all.map((name) => ({ name, text: `generation ${number}` })));
  writeSync(1, `wrote ${number}\n`);
}
