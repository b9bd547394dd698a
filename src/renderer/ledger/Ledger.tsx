import { useState } from "react";
import type { BudgetLine, Headline } from "../../shared/results/shot-result.ts";
import { tuningOf } from "../../shared/session/what-took-part.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { factsOf, resultOf, type Step, shotOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import { airframeInView, launcherInView, pointsInView } from "../app-state/things-in-view.ts";
import { usableClips } from "../app-state/usable-clips.ts";
import { CarriedPart } from "./clip/CarriedPart.tsx";
import { ClipSection } from "./clip/ClipSection.tsx";
import { UnusableClips } from "./clip/UnusableClips.tsx";
import { ClockSection } from "./clock/ClockSection.tsx";
import { ExampleNote } from "./ExampleNote.tsx";
import { Headlines } from "./Headlines.tsx";
import { LedgerHead } from "./LedgerHead.tsx";
import { MarksSection } from "./marks/MarksSection.tsx";
import { ModelSection } from "./model/ModelSection.tsx";
import { MotionSection } from "./motion/MotionSection.tsx";
import { NextShotSection } from "./next-shot/NextShotSection.tsx";
import { sharesOf } from "./parts/budget.ts";
import { noticesUnder } from "./parts/notices.ts";
import { Section } from "./parts/Section.tsx";
import * as sentences from "./parts/sentences.ts";
import { ScaleSection } from "./scale/ScaleSection.tsx";
import { TuneSection } from "./tuning/TuneSection.tsx";
import { VerdictSection } from "./verdict/VerdictSection.tsx";

const CAUSED_UNDER: Readonly<Record<BudgetLine["source"], Step>> = {
  clock: "clock",
  scale: "scale",
  plumb: "scale",
  marks: "marks",
  "centre of gravity": "marks",
  release: "motion",
  lens: "scale",
  plane: "scale",
  shutter: "clock",
  camera: "clip",
  mass: "marks",
  "pitch inertia": "marks",
};

/**
 * The ledger: the current write-up of the shot in the window. It follows no more of the session than it
 * shows, so that a change of another shot draws nothing here.
 */
export function Ledger() {
  const actions = useActions();
  const shot = useAppState(shotOf);
  const units = useAppState((s) => s.history.present.units);
  const nextShot = useAppState((s) => s.history.present.nextShot);
  const facts = useAppState(factsOf);
  const result = useAppState(resultOf);
  const knowledge = useAppState((s) => (shot?.clip == null ? undefined : s.known[shot.clip]));
  const clips = usableClips(useAppState((s) => s.clips));
  const isOther = useAppState((s) => shot?.clip != null && standingOf(s, shot.clip) === "other");
  const [asked, setAsked] = useState<Headline>("releaseSpeed");
  const shares = sharesOf(result?.measurement?.budget[asked] ?? []);
  const shareOf = (step: Step) =>
    shares.length === 0
      ? null
      : shares.filter(({ source }) => CAUSED_UNDER[source] === step).reduce((sum, one) => sum + one.share, 0);
  const notices = result?.notices ?? [];
  const common = (step: Step) => ({ step, share: shareOf(step), notices: noticesUnder(step, notices) });
  const airframe = useAppState(airframeInView);
  const launcher = useAppState(launcherInView);
  const tuning = useAppState((s) => tuningOf(s.history.present, launcher?.id ?? null));
  const points = useAppState(pointsInView);
  return (
    <main className="ledger" aria-label="Ledger">
      <LedgerHead shot={shot} />
      {shot === null ? (
        <div className="ledger-empty">
          <p>{clips.length === 0 ? "There is no clip in this folder yet." : "No shot is open yet."}</p>
          {clips.map((clip) => (
            <button type="button" key={clip.name} onClick={() => actions.addShot(clip)}>
              Make a shot of {clip.name}
            </button>
          ))}
          <UnusableClips />
        </div>
      ) : (
        <div key={shot.id}>
          <ExampleNote shot={shot} units={units} />
          <Headlines
            result={result}
            units={units}
            asked={asked}
            onAsk={setAsked}
            next="Work down the headings; results appear here as soon as they can be measured."
          />
          <CarriedPart />
          <Section {...common("clip")} title="Clip" says={sentences.clipSays(shot, knowledge, isOther)}>
            <ClipSection shot={shot} notices={notices} />
          </Section>
          <Section {...common("clock")} title="Clock" says={sentences.clockSays(shot, facts, result)}>
            <ClockSection shot={shot} facts={facts} blurPx={result?.measurement?.blurPx ?? null} />
          </Section>
          <Section {...common("scale")} title="Scale" says={sentences.scaleSays(shot, units, result)}>
            <ScaleSection shot={shot} facts={facts} />
          </Section>
          <Section {...common("marks")} title="Marks" says={sentences.marksSays(shot, points, result)}>
            <MarksSection shot={shot} airframe={airframe} />
          </Section>
          <Section {...common("motion")} title="Motion" says={sentences.motionSays(result)}>
            <MotionSection shot={shot} facts={facts} result={result} />
          </Section>
          <Section {...common("model")} title="Model" says={sentences.modelSays(launcher, result, units)}>
            <ModelSection shot={shot} launcher={launcher} result={result} />
          </Section>
          <Section {...common("verdict")} title="Verdict" says={sentences.verdictSays(result, launcher)}>
            <VerdictSection shot={shot} airframe={airframe} launcher={launcher} result={result} />
          </Section>
          <Section {...common("tuning")} title="Tuning" says={sentences.tuningSays(launcher, tuning)}>
            <TuneSection launcher={launcher} />
          </Section>
          <Section
            {...common("next-shot")}
            title="Next shot"
            says={sentences.nextShotSays({ nextShot, units }, launcher)}
          >
            <NextShotSection shot={shot} />
          </Section>
        </div>
      )}
    </main>
  );
}
