import { useCallback, useEffect, useId, useRef, useState } from "react";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useActions } from "../actions/app-context.ts";
import type { RecentFolder } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import { openedWhen } from "./opened-when.ts";
import { useOpening } from "./use-opening.ts";

const STANDING: Readonly<Record<RecentFolder["standing"], string | null>> = {
  there: null,
  gone: "not there now",
  unknown: "its disk does not answer",
};

/**
 * The folders opened before, the last first: one press opens one, another takes it off the list.
 * @param props.except paths that stand elsewhere: the folder shown, or those that are open
 * @param props.alone says so where there are none; else nothing stands there then
 */
export function OpenedBefore(props: { readonly except: readonly string[]; readonly alone?: boolean }) {
  const { except, alone = false } = props;
  const { service } = useActions();
  const { busy, openPath } = useOpening();
  const [folders, setFolders] = useState<readonly RecentFolder[] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [forgot, setForgot] = useState<string | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const id = useId();

  const load = useCallback(
    () => service.recentFolders().then(setFolders, (error: unknown) => setFault(faultOf(error))),
    [service],
  );
  useEffect(() => void load(), [load]);

  async function open({ folder }: RecentFolder): Promise<void> {
    setFault(null);
    await openPath(folder, (why) => {
      setFault(why);
      void load(); // it may be gone since
    });
  }

  async function forget({ folder, name }: RecentFolder): Promise<void> {
    setFault(null);
    try {
      await service.forgetFolder(folder);
      setForgot(name);
      heading.current?.focus(); // its button goes, and the next Tab leads on through the list
    } catch (error) {
      setFault(faultOf(error));
    }
    await load();
  }

  if (folders === null && fault === null) return null; // within a moment
  const shown = (folders ?? []).filter(({ folder }) => !except.includes(folder));
  if (shown.length === 0 && forgot === null && fault === null && !alone) return null;
  return (
    <section className="opened-before" aria-labelledby={id}>
      <h3 id={id} ref={heading} tabIndex={-1}>
        Opened before
      </h3>
      <p className="for-reader" role="status">
        {forgot === null ? "" : `${forgot} is off the list.`}
      </p>
      {fault === null ? null : (
        <p className="field-problem" role="alert">
          {fault.cause} {fault.remedy}
        </p>
      )}
      {shown.length === 0 && fault === null ? <p>No other folder.</p> : null}
      <ul>
        {shown.map((one) => (
          <li key={one.folder}>
            {one.standing === "gone" ? (
              <div className="opened-before-one">
                <About folder={one} />
              </div>
            ) : (
              <button
                type="button"
                className="quiet opened-before-one"
                disabled={busy}
                onClick={() => void open(one)}
              >
                <About folder={one} />
              </button>
            )}
            <button
              type="button"
              className={one.standing === "gone" ? "" : "quiet"}
              aria-label={`Forget ${one.name}`}
              title="Takes it off this list only; the folder stays as it is"
              onClick={() => void forget(one)}
            >
              Forget
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

function About({ folder: { folder, name, openedAt, standing } }: { readonly folder: RecentFolder }) {
  const facts = [STANDING[standing], openedAt === null ? null : openedWhen(openedAt, new Date())];
  const said = facts.filter((fact) => fact !== null).join(", ");
  return (
    <>
      <span className="opened-before-name">{name}</span>
      {said === "" ? null : ` ${said}`}
      <span className="opened-before-path">{folder}</span>
    </>
  );
}
