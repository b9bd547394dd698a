import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import { nameOfCopy, unusedId } from "../../../shared/session/fresh.ts";
import type { Launcher, ListedLauncher, Session, Shot } from "../../../shared/session/schema.ts";
import { launcherOf } from "../../../shared/session/what-took-part.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { AskFirst } from "../parts/AskFirst.tsx";
import { ShelfPart } from "../parts/ShelfPart.tsx";
import { namedBy, WhichOne } from "../parts/WhichOne.tsx";
import { DESCRIBE_LAUNCHER, LauncherFields } from "./LauncherFields.tsx";
import { WithSchematic } from "./WithSchematic.tsx";

/** Which launcher threw the shot, and what its model is told. */
export function LauncherPart(props: { readonly shot: Shot; readonly notices: readonly ShotNotice[] }) {
  const { shot, notices } = props;
  const actions = useActions();
  const session = useAppState(sessionOf);
  const launcher = launcherOf(session, shot);
  const { launchers } = session;

  /** The first launcher is that of every shot that names none; a further one that of this shot. */
  function add(described: Launcher): void {
    const added = { ...described, id: unusedId("launcher", launchers) };
    const unnamed = session.shots.filter(({ launcherId }) => launcherId === null).map(({ id }) => id);
    const shotIds = launchers.length === 0 ? unnamed : [shot.id];
    actions.change({ kind: "add-launcher", launcher: added, shotIds });
  }

  return (
    <>
      <h3>Launcher</h3>
      {launchers.length === 0 || (launchers.length === 1 && launcher !== null) ? null : (
        <WhichOne
          label="Thrown by"
          list={launchers}
          value={launcher?.id ?? null}
          none="not said, or another one"
          onChoose={(launcherId) =>
            actions.change({ kind: "update-shot", shotId: shot.id, patch: { launcherId } })
          }
        />
      )}
      {launcher === null ? (
        <>
          <p className="plain">
            A launcher starts from guessed values with wide uncertainty, so that the prediction shows at once
            which of them matter. Overwrite each with yours.
          </p>
          <div className="buttons">
            {DESCRIBE_LAUNCHER.map(({ words, fresh }) => (
              <button type="button" key={words} onClick={() => add(fresh())}>
                {words}
              </button>
            ))}
          </div>
        </>
      ) : (
        <div key={launcher.id}>
          <WithSchematic launcher={launcher}>
            <LauncherFields launcher={launcher} notices={notices} />
          </WithSchematic>
          <div className="buttons thing-buttons">
            <button
              type="button"
              className="quiet"
              onClick={() => add({ ...launcher, name: nameOfCopy(launcher.name, launchers, "launcher") })}
            >
              Another launcher like it
            </button>
            <button
              type="button"
              className="quiet"
              onClick={() =>
                actions.change({ kind: "update-shot", shotId: shot.id, patch: { launcherId: null } })
              }
            >
              Another kind for this shot
            </button>
            <RemoveLauncher session={session} launcher={launcher} shotId={shot.id} />
          </div>
          <p className="field-hint">
            To describe another kind instead, remove this one or leave it to the other shots; Undo brings it
            back.
          </p>
        </div>
      )}
      <ShelfPart of="launcher" id={launcher?.id ?? null} shotId={shot.id} />
    </>
  );
}

/** Asks where other shots name it too. */
function RemoveLauncher(props: {
  readonly session: Session;
  readonly launcher: ListedLauncher;
  readonly shotId: string;
}) {
  const { session, launcher, shotId } = props;
  const actions = useActions();
  const named = session.shots.filter(({ launcherId }) => launcherId === launcher.id);
  const others = named.filter(({ id }) => id !== shotId);
  const question =
    others.length === 0
      ? null
      : `${namedBy(named.map(({ name }) => name))} Without it they have no prediction, and its tuning goes too.`;
  return (
    <AskFirst
      words="Remove the launcher"
      question={question}
      yes="Remove it"
      no="Keep it"
      onYes={() => actions.change({ kind: "remove-launcher", launcherId: launcher.id })}
    />
  );
}
