import { hasModel, launcherModel } from "../../shared/launchers/launcher-models.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { gravestFirst } from "../../shared/quantity/notice.ts";
import { MODEL_NOTICES } from "../../shared/results/notices/model-notices.ts";
import type { ShotPrediction } from "../../shared/results/shot-result.ts";
import type { StatedLauncher } from "../../shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords, shotWords } from "./shot-words.ts";
import { wrapped } from "./table.ts";
import { type Terminal, tellBug, type Verb } from "./verb.ts";

export const predictVerb: Verb = {
  name: "predict",
  usage: "FOLDER",
  summary: "Says what the launch model predicts for every shot of a field folder.",
  details: [
    "Every launcher that has a model: compressed-air ram, rocket boost, elastic line.",
    "Each result with its standard uncertainty (k = 1) from the inputs'; then limits passed, and cautions.",
    "No clip is read.",
  ],
  operands: [1, 1],
  options: {},
  async run({ operands, json, terminal }) {
    const { session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    const unmodelled = session.launcher !== null && !hasModel(session.launcher);
    const predicted = await Promise.all(
      session.shots.map(async (shot) => {
        const { prediction, notices } = await predictedOf(session, shot, terminal);
        // Said once a shot, as whatever else keeps a prediction from being there.
        const refused = unmodelled ? [MODEL_NOTICES["no-model"]()] : [];
        return { shot, prediction, notices: gravestFirst([...refused, ...notices]) };
      }),
    );
    const done = predicted.some(({ prediction }) => prediction !== null);
    if (json) {
      const shots = predicted.map(({ shot, prediction, notices }) => ({
        id: shot.id,
        name: shot.name,
        ...(prediction && { predicted: prediction.quantities, storedEnergyJ: prediction.storedEnergyJ }),
        notices,
      }));
      const model = { launcher: session.launcher?.kind ?? null, tuned: usesTuned(session) };
      terminal.out(`${JSON.stringify({ ...model, shots }, null, 2)}\n`);
    }
    if (!done) {
      terminal.err("No shot could be predicted.\n");
      for (const { shot, notices } of predicted) terminal.err(`${shot.id}\n${noticeWords(notices)}`);
      return 1;
    }
    if (json) return 0;
    terminal.out(`${launcherWords(session)}\n`);
    for (const { shot, prediction, notices } of predicted) {
      const result = { shotId: shot.id, measurement: null, comparison: null, prediction, notices };
      terminal.out(`${shotWords(session, result)}\n`);
    }
    return 0;
  },
};

/** A shot whose prediction throws is refused, and the others are predicted. */
async function predictedOf(session: Session, shot: Shot, terminal: Terminal): Promise<ShotPrediction> {
  const { signal } = terminal;
  try {
    return await processWorkers().run(session, { kind: "predict", shotId: shot.id }, { signal });
  } catch (error) {
    if (signal.aborted) throw error;
    tellBug(terminal, error);
    return { prediction: null, notices: [MODEL_NOTICES["not-predicted"](shot.name)] };
  }
}

function usesTuned({ tuning }: StatedLauncher): boolean {
  return tuning?.use === true && tuning.tuned !== null;
}

/** "Hobnail ram, compressed-air ram, with the values as stated." */
function launcherWords(stated: StatedLauncher): string {
  const { launcher, tuning } = stated;
  if (launcher === null) return "";
  const values = usesTuned(stated)
    ? `with the values tuned on ${tuning!.tuned!.shotCount === 1 ? "one shot" : `${tuning!.tuned!.shotCount} shots`}`
    : "with the values as stated";
  return wrapped([launcher.name, launcherModel(launcher).words, values].filter(Boolean).join(", "), "");
}
