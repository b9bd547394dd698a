import { useState } from "react";
import type { BudgetLine, Headline } from "../../shared/results/shot-result.ts";
import { standingOf } from "../state/clip-standing.ts";
import { useDesk, useDeskState } from "../state/desk-context.ts";
import { factsOf, resultOf, type Step, sessionOf, shotOf } from "../state/desk-state.ts";
import { usableClips } from "../state/usable-clips.ts";
import { sharesOf } from "./budget.ts";
import { ClipSection } from "./ClipSection.tsx";
import { ClockSection } from "./ClockSection.tsx";
import { Headlines } from "./Headlines.tsx";
import { LedgerHead } from "./LedgerHead.tsx";
import { MarksSection } from "./MarksSection.tsx";
import { ModelSection } from "./ModelSection.tsx";
import { MotionSection } from "./MotionSection.tsx";
import { NextShotSection } from "./NextShotSection.tsx";
import { noticesUnder } from "./notices.ts";
import { ScaleSection } from "./ScaleSection.tsx";
import { Section } from "./Section.tsx";
import * as sentences from "./sentences.ts";
import { TuneSection } from "./TuneSection.tsx";
import { UnusableClips } from "./UnusableClips.tsx";
import { VerdictSection } from "./VerdictSection.tsx";

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
  mass: "marks",
  "pitch inertia": "marks",
};

/** The ledger: the current write-up of the shot on the desk. */
export function Ledger() {
  const desk = useDesk();
  const shot = useDeskState(shotOf);
  const session = useDeskState(sessionOf);
  const facts = useDeskState(factsOf);
  const result = useDeskState(resultOf);
  const knowledge = useDeskState((s) => (shot?.clip == null ? undefined : s.known[shot.clip]));
  const clips = usableClips(useDeskState((s) => s.clips));
  const isOther = useDeskState((s) => shot?.clip != null && standingOf(s, shot.clip) === "other");
  const [asked, setAsked] = useState<Headline>("releaseSpeed");
  const shares = sharesOf(result?.measurement?.budget[asked] ?? []);
  const shareOf = (step: Step) =>
    shares.length === 0
      ? null
      : shares.filter(({ source }) => CAUSED_UNDER[source] === step).reduce((sum, one) => sum + one.share, 0);
  const notices = result?.notices ?? [];
  const common = (step: Step) => ({ step, share: shareOf(step), notices: noticesUnder(step, notices) });
  const { airframe, launcher, units, points } = session;
  return (
    <main className="ledger" aria-label="Ledger">
      <LedgerHead shot={shot} session={session} />
      {shot === null ? (
        <div className="ledger-empty">
          <p>{clips.length === 0 ? "There is no clip in this folder yet." : "No shot is on the desk yet."}</p>
          {clips.map((clip) => (
            <button type="button" key={clip.name} onClick={() => desk.addShot(clip)}>
              Make a shot of {clip.name}
            </button>
          ))}
          <UnusableClips />
        </div>
      ) : (
        <div key={shot.id}>
          <Headlines
            result={result}
            units={units}
            asked={asked}
            onAsk={setAsked}
            next="Work down the headings; results stand here as soon as they can."
          />
          <Section {...common("clip")} title="Clip" says={sentences.clipSays(shot, knowledge, isOther)}>
            <ClipSection shot={shot} />
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
            <ModelSection shot={shot} airframe={airframe} launcher={launcher} result={result} />
          </Section>
          <Section {...common("verdict")} title="Verdict" says={sentences.verdictSays(result, launcher)}>
            <VerdictSection shot={shot} airframe={airframe} launcher={launcher} result={result} />
          </Section>
          <Section {...common("tuning")} title="Tuning" says={sentences.tuningSays(session)}>
            <TuneSection session={session} />
          </Section>
          <Section {...common("next-shot")} title="Next shot" says={sentences.nextShotSays(session)}>
            <NextShotSection shot={shot} session={session} />
          </Section>
        </div>
      )}
    </main>
  );
}
