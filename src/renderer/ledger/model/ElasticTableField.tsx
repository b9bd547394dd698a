import { useRef, useState } from "react";
import type { ForcePoint } from "../../../shared/launch/elastic/elastic-curve.ts";
import { draftOf, keepDraft } from "../fields/drafts.ts";
import { PastedArea } from "../fields/PastedArea.tsx";
import { elasticTableText, readElasticTable } from "./elastic-table.ts";

export interface ElasticTableFieldProps {
  /** unique in the window: what was typed and cannot stand yet is kept by it */
  readonly field: string;
  readonly label: string;
  readonly hint: string;
  readonly points: readonly ForcePoint[] | null;
  /** An empty table means "not measured". */
  readonly optional?: boolean;
  readonly onEntry: (points: readonly ForcePoint[] | null) => void;
}

/**
 * A force-extension table, typed or pasted: what is typed stays; what can stand goes into the
 * document when the field is left.
 */
export function ElasticTableField(props: ElasticTableFieldProps) {
  const { field, label, hint, points, optional = false, onEntry } = props;
  const [text, setText] = useState(() => draftOf(field)?.value ?? elasticTableText(points));
  const [inside, setInside] = useState(false);
  const seen = useRef(points);
  // The document changed under the field (undo, a reload): it shows the document again.
  if (seen.current !== points) {
    seen.current = points;
    if (textOfEntry(text) !== elasticTableText(points)) {
      keepDraft(field, null);
      setText(elasticTableText(points));
    }
  }
  const read = readElasticTable(text);

  function leave(): void {
    setInside(false);
    const stands = read.kind === "points" || (read.kind === "empty" && optional);
    keepDraft(field, stands ? null : { value: text, u: "" });
    if (!stands || textOfEntry(text) === elasticTableText(points)) return;
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
    <div className="field">
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
function textOfEntry(text: string): string | null {
  const read = readElasticTable(text);
  return read.kind === "wrong" ? null : elasticTableText(read.kind === "points" ? read.points : null);
}
