import { useEffect, useState } from "react";
import type { Moment } from "../shared/api/contract.ts";
import type { FaultCode } from "../shared/quantity/fault-codes.ts";
import type { Fault } from "../shared/quantity/notice.ts";
import type { Session } from "../shared/session/schema.ts";
import { useActions } from "./actions/app-context.ts";
import { momentTime } from "./ledger/history/moment-time.ts";
import { OpenedBefore } from "./shots/OpenedBefore.tsx";
import { OpenFolder } from "./shots/OpenFolder.tsx";
import { OtherFolders } from "./shots/OtherFolders.tsx";

/** Faults that are about what the session file says: a state of the history can take its place. */
const OF_FILE: ReadonlySet<FaultCode> = new Set<FaultCode>([
  "broken-session",
  "not-a-session",
  "bad-session",
]);

/** Faults of a folder that is not there: another one may be. */
const GONE: ReadonlySet<FaultCode> = new Set<FaultCode>(["folder-gone", "no-such-folder"]);

/**
 * What is shown when a folder could not be opened: why, what to do, and the last good state
 * where the history has one.
 */
export function FailedView({ fault }: { readonly fault: Fault }) {
  const actions = useActions();
  return (
    <main className="opening">
      <h1>Loftmark</h1>
      <p>{fault.cause}</p>
      {fault.code === "folder-not-open" ? (
        <OtherFolders />
      ) : (
        <>
          <p>{fault.remedy}</p>
          <button type="button" onClick={() => void actions.open()}>
            Try again
          </button>
          {GONE.has(fault.code) ? (
            <>
              <OpenedBefore except={[]} />
              <OpenFolder bare />
            </>
          ) : null}
        </>
      )}
      {OF_FILE.has(fault.code) ? <LastGoodState /> : null}
    </main>
  );
}

function LastGoodState() {
  const actions = useActions();
  const [found, setFound] = useState<{ readonly moment: Moment; readonly session: Session } | null>(null);
  useEffect(() => {
    actions
      .lastGood()
      .then(setFound)
      .catch(() => setFound(null)); // what stands above says why the folder cannot be opened
  }, [actions]);
  if (found === null) return null;
  const { moment, session } = found;
  const marks = session.shots.reduce((sum, shot) => sum + shot.marks.length, 0);
  return (
    <section aria-label="Last good state">
      <p>
        The history holds the session as it was {momentTime(moment.at, new Date())}:{" "}
        {counted(session.shots.length, "shot")}
        {session.shots.length > 0 ? ` (${session.shots.map(({ name }) => name).join(", ")})` : ""},{" "}
        {counted(marks, "mark")}. Last step: {moment.says}. The file that cannot be read is kept under another
        name.
      </p>
      <button type="button" onClick={() => void actions.recover(moment.id)}>
        Put this state in its place
      </button>
    </section>
  );
}

function counted(n: number, what: string): string {
  return `${n} ${what}${n === 1 ? "" : "s"}`;
}
