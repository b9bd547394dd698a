import { predictShot } from "../../shared/shot/predict-shot.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords, shotWords } from "./shot-words.ts";
import type { Verb } from "./verb.ts";

export const predictVerb: Verb = {
  name: "predict",
  usage: "FOLDER",
  summary: "Says what the launch model predicts for every shot of a field folder.",
  details: ["No clip is read."],
  operands: [1, 1],
  options: {},
  async run({ operands, json, terminal }) {
    const { session } = await openFolderWithSession(terminal.cwd, operands[0]!);
    const predicted = session.shots.map((shot) => ({ shot, ...predictShot(session, shot) }));
    const done = predicted.some(({ prediction }) => prediction !== null);
    if (json) {
      const shots = predicted.map(({ shot, prediction, notices }) => ({
        id: shot.id,
        name: shot.name,
        ...(prediction && { predicted: prediction.quantities, storedEnergyJ: prediction.storedEnergyJ }),
        notices,
      }));
      terminal.out(`${JSON.stringify({ shots }, null, 2)}\n`);
    }
    if (!done) {
      terminal.err("No shot could be predicted.\n");
      for (const { shot, notices } of predicted) terminal.err(`${shot.id}\n${noticeWords(notices)}`);
      return 1;
    }
    if (json) return 0;
    for (const { shot, prediction, notices } of predicted) {
      const result = { shotId: shot.id, measurement: null, comparison: null, prediction, notices };
      terminal.out(`${shotWords(session, result)}\n`);
    }
    return 0;
  },
};
