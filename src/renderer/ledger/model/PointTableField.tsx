import { useRef, useState } from "react";
import { draftOf, keepDraft } from "../fields/drafts.ts";
import { PastedArea } from "../fields/PastedArea.tsx";
import { type PointTable, pointTableText, readPointTable } from "./point-table.ts";

type Points = readonly (readonly [number, number])[];

export interface PointTableFieldProps {
  /** unique in the window: what was typed and cannot stand yet is kept by it */
  readonly field: string;
  /** Place of the table in the document. */
  readonly part: string;
  readonly label: string;
  readonly hint: string;
  readonly table: PointTable;
  readonly points: Points | null;
  /** An empty table means "not measured". */
  readonly optional?: boolean;
  readonly onEntry: (points: Points | null) => void;
}

/**
 * A table of two columns, typed or pasted: what is typed stays; what can stand goes into the
 * document when the field is left.
 */
export function PointTableField(props: PointTableFieldProps) {
  const { field, part, label, hint, table, points, optional = false, onEntry } = props;
  const [text, setText] = useState(() => draftOf(field)?.value ?? pointTableText(points));
  const [inside, setInside] = useState(false);
  const seen = useRef(points);
  // The document changed under the field (undo, a reload): it shows the document again.
  if (seen.current !== points) {
    seen.current = points;
    if (textOfEntry(table, text) !== pointTableText(points)) {
      keepDraft(field, null);
      setText(pointTableText(points));
    }
  }
  const read = readPointTable(table, text);

  function leave(): void {
    setInside(false);
    const stands = read.kind === "points" || (read.kind === "empty" && optional);
    keepDraft(field, stands ? null : { value: text, u: "" });
    if (!stands || textOfEntry(table, text) === pointTableText(points)) return;
    onEntry(read.kind === "points" ? read.points : null);
  }

  const problem = inside
    ? null
    : read.kind === "wrong"
      ? `${read.cause} ${read.remedy}`
      : read.kind === "empty" && !optional
        ? "The table is empty. Type two points or more."
        : null;
  return (
    <div className="field" data-input={part}>
      <PastedArea
        field={field}
        label={label}
        rows={Math.min(12, Math.max(3, text.split("\n").length))}
        text={text}
        problem={problem}
        kept="the table before it"
        hint={hint}
        onText={setText}
        onEnter={() => setInside(true)}
        onLeave={leave}
      />
    </div>
  );
}

/** What is typed as the document would hold it; null when it cannot. */
function textOfEntry(table: PointTable, text: string): string | null {
  const read = readPointTable(table, text);
  return read.kind === "wrong" ? null : pointTableText(read.kind === "points" ? read.points : null);
}
