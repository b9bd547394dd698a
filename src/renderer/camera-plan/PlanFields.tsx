import type { CameraPlanInput, ExpectedShot, PlanField } from "../../shared/camera-plan/plan-input.ts";
import type { EntryKind } from "../../shared/inputs/entry-unit.ts";
import { MeasuredField } from "../ledger/fields/MeasuredField.tsx";
import { NumberField } from "../ledger/fields/NumberField.tsx";

type Plain = {
  [K in keyof CameraPlanInput]: CameraPlanInput[K] extends number ? K : never;
}[keyof CameraPlanInput];
type PlainShot = Exclude<keyof ExpectedShot, "push">;

interface Line<Key> {
  readonly key: Key;
  readonly kind: EntryKind;
  readonly zero?: boolean;
  readonly any?: boolean;
}

/** What each number of a plan is called. */
export const PLAN_LABELS: Readonly<Partial<Record<PlanField, string>>> = {
  widthPx: "Picture width",
  heightPx: "Picture height",
  captureRateHz: "Capture rate",
  exposureS: "Exposure of a frame: 1 /",
  distanceM: "From the camera to the flight",
  fieldM: "Width of the picture there",
  planeU: "Flight out of the rod's plane by ±",
  markPx: "Each mark is good to ±",
  smearShare: "Share of the smear that adds to it",
  points: "Points marked on the airframe",
  spacingM: "From the first point to the last",
  balanceU: "Balance point known to ±",
  rodM: "Rod",
  pickPx: "Each pick is good to ±",
  plumbM: "Length of the plumb",
  hangRad: "It hangs true to ±",
  restFrames: "Frames marked at rest",
  flightFrames: "Frames marked after release",
  speedMPerS: "Release speed",
  strokeM: "Travel to release",
  peakMPerS2: "Peak acceleration",
  angleRad: "Launch angle",
  pitchRateRadPerS: "Pitch rate at release",
};

const VIEW: readonly Line<Plain>[] = [
  { key: "distanceM", kind: "distance" },
  { key: "planeU", kind: "small-length", zero: true },
];
const MARKS: readonly Line<Plain>[] = [
  { key: "markPx", kind: "pixels" },
  { key: "smearShare", kind: "ratio", zero: true },
  { key: "points", kind: "count" },
  { key: "spacingM", kind: "length" },
  { key: "balanceU", kind: "small-length", zero: true },
  { key: "restFrames", kind: "count", zero: true },
  { key: "flightFrames", kind: "count", zero: true },
];
const REFERENCES: readonly Line<Plain>[] = [
  { key: "pickPx", kind: "pixels" },
  { key: "plumbM", kind: "length" },
  { key: "hangRad", kind: "angle", zero: true },
];
const SHOT: readonly Line<PlainShot>[] = [
  { key: "speedMPerS", kind: "speed" },
  { key: "strokeM", kind: "length" },
  { key: "angleRad", kind: "angle", any: true },
  { key: "pitchRateRadPerS", kind: "angle-rate", any: true },
];

export interface PlanFieldsProps {
  readonly input: CameraPlanInput;
  readonly onChange: (input: CameraPlanInput) => void;
}

/** The numbers of a plan: the shot that is expected, the camera, what is seen, what is marked and picked. */
export function PlanFields({ input, onChange }: PlanFieldsProps) {
  const put = (part: Partial<CameraPlanInput>) => onChange({ ...input, ...part });
  const putShot = (part: Partial<ExpectedShot>) => put({ shot: { ...input.shot, ...part } });
  const plain = ({ key, ...rest }: Line<Plain>) => (
    <NumberField
      key={key}
      {...rest}
      label={PLAN_LABELS[key] ?? key}
      digits={5}
      value={input[key]}
      onEntry={(value) => value !== null && put({ [key]: value })}
    />
  );
  const { shot, lens } = input;
  return (
    <>
      <h3>The shot you expect</h3>
      {SHOT.map(({ key, ...rest }) => (
        <NumberField
          key={key}
          {...rest}
          label={PLAN_LABELS[key] ?? key}
          value={shot[key]}
          onEntry={(value) => value !== null && putShot({ [key]: value })}
        />
      ))}
      {shot.push.by === "peak" ? (
        <NumberField
          label={PLAN_LABELS.peakMPerS2 ?? ""}
          kind="acceleration"
          value={shot.push.peakMPerS2}
          onEntry={(peakMPerS2) => peakMPerS2 && putShot({ push: { by: "peak", peakMPerS2 } })}
        />
      ) : null}
      <h3>Camera</h3>
      <MeasuredField
        field="plan rate"
        label={PLAN_LABELS.captureRateHz ?? ""}
        kind="rate"
        rule="positive"
        measured={input.captureRateHz}
        onEntry={(captureRateHz) => captureRateHz && put({ captureRateHz })}
      />
      <NumberField
        label={PLAN_LABELS.exposureS ?? ""}
        kind="per-second"
        digits={5}
        value={1 / input.exposureS}
        onEntry={(perSecond) => perSecond && put({ exposureS: 1 / perSecond })}
      />
      {plain({ key: "widthPx", kind: "pixels" })}
      {plain({ key: "heightPx", kind: "pixels" })}
      <h3>View</h3>
      {lens.by === "field" ? (
        <NumberField
          label={PLAN_LABELS.fieldM ?? ""}
          kind="distance"
          value={lens.fieldM}
          onEntry={(fieldM) => fieldM && put({ lens: { by: "field", fieldM } })}
        />
      ) : null}
      {VIEW.map(plain)}
      <h3>Marks</h3>
      {MARKS.map(plain)}
      <h3>Rod and plumb</h3>
      <MeasuredField
        field="plan rod"
        label={PLAN_LABELS.rodM ?? ""}
        kind="length"
        rule="positive"
        measured={input.rodM}
        onEntry={(rodM) => rodM && put({ rodM })}
      />
      {REFERENCES.map(plain)}
    </>
  );
}
