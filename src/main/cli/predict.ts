import { hasModel, launcherModel } from "../../shared/launchers/launcher-models.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { gravestFirst } from "../../shared/quantity/notice.ts";
import { MODEL_NOTICES } from "../../shared/results/notices/model-notices.ts";
import type { ShotPrediction } from "../../shared/results/shot-result.ts";
import type { ListedLauncher, Session, Shot, Tuning } from "../../shared/session/schema.ts";
import { launcherOf, tuningOf } from "../../shared/session/what-took-part.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords, shotWords } from "./shot-words.ts";
import { wrapped } from "./table.ts";
import { thrownWords } from "./thrown-words.ts";
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
    const predicted = await Promise.all(
      session.shots.map(async (shot) => {
        const { prediction, notices } = await predictedOf(session, shot, terminal);
        const launcher = launcherOf(session, shot);
        // Said once a shot, as whatever else keeps a prediction from being there.
        const refused = launcher !== null && !hasModel(launcher) ? [MODEL_NOTICES["no-model"]()] : [];
        return { shot, prediction, notices: gravestFirst([...refused, ...notices]) };
      }),
    );
    const done = predicted.some(({ prediction }) => prediction !== null);
    if (json) {
      const shots = predicted.map(({ shot, prediction, notices }) => ({
        id: shot.id,
        name: shot.name,
        ...namesIn(session, shot),
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
    for (const launcher of session.launchers) terminal.out(`${launcherWords(session, launcher)}\n`);
    for (const { shot, prediction, notices } of predicted) {
      const thrown = thrownWords(session, shot);
      if (thrown.length > 0) terminal.out(`${shot.name}: ${thrown.join("")}\n`);
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

/** What threw a shot, and whether by its tuned values, for a program. */
function namesIn(session: Session, shot: Shot) {
  const { airframeId, launcherId } = shot;
  const launcher = launcherOf(session, shot)?.kind ?? null;
  return { airframeId, launcherId, launcher, tuned: tunedInUse(tuningOf(session, launcherId)) !== null };
}

function tunedInUse(tuning: Tuning | undefined): Tuning["tuned"] {
  return tuning?.use === true ? tuning.tuned : null;
}

/** "Hobnail ram, compressed-air ram, with the values as stated." */
function launcherWords(session: Session, launcher: ListedLauncher): string {
  const tuned = tunedInUse(tuningOf(session, launcher.id));
  const values =
    tuned === null
      ? "with the values as stated"
      : `with the values tuned on ${tuned.shotCount === 1 ? "one shot" : `${tuned.shotCount} shots`}`;
  return wrapped([launcher.name, launcherModel(launcher).words, values].filter(Boolean).join(", "), "");
}
