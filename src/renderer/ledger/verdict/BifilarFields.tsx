import { useState } from "react";
import { type EntryKind, entryUnit } from "../../../shared/inputs/entry-unit.ts";
import { type BifilarInputs, measuredBifilarInertia } from "../../../shared/launch/bifilar-inertia.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { useChangeAirframe } from "../parts/use-things-in-view.ts";

const LINES: readonly {
  readonly key: keyof BifilarInputs;
  readonly label: string;
  readonly kind: EntryKind;
  readonly hint?: string;
}[] = [
  { key: "massKg", label: "Mass as hung", kind: "mass" },
  { key: "spacingM", label: "Between the cords", kind: "length", hint: "The same above and below." },
  { key: "lengthM", label: "Length of the cords", kind: "length" },
  {
    key: "periodS",
    label: "One full swing, to and fro",
    kind: "duration",
    hint: "Time ten or more and divide.",
  },
  { key: "swingRad", label: "Swing to one side", kind: "angle" },
];
const SMALL_SWING: Measured = { value: 0.17, u: 0.05 }; // rad, some 10°: worth 0.2 % of the period

/**
 * Pitch inertia from a swing on two cords. What is typed here is kept while the window is open; the
 * document keeps the inertia.
 */
export function BifilarFields({ massKg }: { readonly massKg: Measured | null }) {
  const changeAirframe = useChangeAirframe();
  const [hung, setHung] = useState<Readonly<Record<keyof BifilarInputs, Measured | null>>>({
    massKg,
    spacingM: null,
    lengthM: null,
    periodS: null,
    swingRad: SMALL_SWING,
  });
  const { spacingM, lengthM, periodS, swingRad } = hung;
  const found =
    hung.massKg && spacingM && lengthM && periodS && swingRad
      ? measuredBifilarInertia({ massKg: hung.massKg, spacingM, lengthM, periodS, swingRad })
      : null;
  const unit = entryUnit("inertia", "SI");
  const shown = found?.ok
    ? showMeasured({ value: found.value.value * unit.factor, u: found.value.u * unit.factor }, "1")
    : null;
  return (
    <More title="Pitch inertia from a swing on two cords">
      <p className="plain">
        Hang the airframe on its side from two upright cords of equal length, the balance point midway between
        them, and let it turn to and fro a little about the upright.
      </p>
      {LINES.map(({ key, label, kind, hint }) => (
        <MeasuredField
          key={key}
          field={`bifilar ${key}`}
          label={label}
          kind={kind}
          rule={key === "swingRad" ? "not-negative" : "positive"}
          optional
          measured={hung[key]}
          hint={hint}
          onEntry={(measured) => setHung((before) => ({ ...before, [key]: measured }))}
        />
      ))}
      {found === null ? null : found.ok && shown ? (
        <p className="plain" role="status">
          It turns as {shown.value} ± {shown.u} {unit.symbol}, the air it carries along included.{" "}
          <button type="button" onClick={() => changeAirframe({ pitchInertiaKgM2: found.value })}>
            Take it as the pitch inertia
          </button>
        </p>
      ) : (
        <p className="field-problem" role="status">
          {found.ok === false && found.code === "swing-too-wide"
            ? "Cords this short do not let it swing so far. Check their length, their spacing and the swing."
            : "No inertia fits these numbers. Check period, length and spacing."}
        </p>
      )}
    </More>
  );
}
