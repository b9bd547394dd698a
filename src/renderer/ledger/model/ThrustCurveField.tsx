import { useRef, useState } from "react";
import type { ThrustCurve } from "../../../shared/launch/rocket/thrust-curve.ts";
import { readThrustCurve, thrustCurveText } from "../../../shared/launch/rocket/thrust-curve-csv.ts";
import { elementAt } from "../../../shared/quantity/known-element.ts";
import { FaultError } from "../../../shared/quantity/notice.ts";
import { draftOf, keepDraft } from "../fields/drafts.ts";
import { PastedArea } from "../fields/PastedArea.tsx";

export interface ThrustCurveFieldProps {
  /** unique in the window: what was typed and cannot stand yet is kept by it */
  readonly field: string;
  readonly points: ThrustCurve;
  readonly onEntry: (points: ThrustCurve) => void;
}

/**
 * A measured thrust curve, typed, pasted or loaded from a file: what is typed stays; what can
 * stand goes into the document.
 */
export function ThrustCurveField({ field, points, onEntry }: ThrustCurveFieldProps) {
  const [text, setText] = useState(() => draftOf(field)?.value ?? thrustCurveText(points));
  const [inside, setInside] = useState(false);
  const seen = useRef(points);
  const read = readingOf(text);
  // The document changed under the field (undo, a reload): it shows the document again.
  if (seen.current !== points) {
    seen.current = points;
    if (!(read.points && same(read.points, points))) {
      keepDraft(field, null);
      setText(thrustCurveText(points));
    }
  }

  function take(now: string): void {
    const reading = readingOf(now);
    keepDraft(field, reading.points ? null : { value: now, u: "" });
    if (reading.points && !same(reading.points, points)) onEntry(reading.points);
  }

  async function load(file: File | undefined): Promise<void> {
    if (file === undefined) return;
    const loaded = await file.text();
    setText(loaded);
    take(loaded);
  }

  const problem = inside ? null : read.problem;
  return (
    <div className="field">
      <PastedArea
        field={field}
        label="Time in s, thrust in N"
        rows={6}
        text={text}
        problem={problem}
        kept="the curve before it"
        hint="One point a line, from ignition to the end of thrust; text after # is passed over."
        onText={setText}
        onEnter={() => setInside(true)}
        onLeave={() => {
          setInside(false);
          take(text);
        }}
      />
      <label className="field-hint">
        Or from a file:{" "}
        <input
          type="file"
          accept=".csv,.txt,text/csv,text/plain"
          onChange={(event) => {
            void load(event.target.files?.[0]);
            event.target.value = "";
          }}
        />
      </label>
    </div>
  );
}

function readingOf(text: string): { readonly points: ThrustCurve | null; readonly problem: string | null } {
  try {
    return { points: readThrustCurve(text), problem: null };
  } catch (error) {
    if (!(error instanceof FaultError)) throw error;
    return { points: null, problem: `${error.fault.cause} ${error.fault.remedy}` };
  }
}

function same(a: ThrustCurve, b: ThrustCurve): boolean {
  return (
    a.length === b.length && a.every(([t, f], i) => t === elementAt(b, i)[0] && f === elementAt(b, i)[1])
  );
}
