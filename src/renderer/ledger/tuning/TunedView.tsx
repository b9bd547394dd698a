import { namedShots } from "../../../shared/session/outings.ts";
import type { ListedLauncher, Session, Tuning } from "../../../shared/session/schema.ts";
import type { SessionTuning } from "../../../shared/tune/tune-session.ts";
import { heldOutSays, savedRows, tuneNotices } from "../../../shared/tune/tune-words.ts";
import { useActions } from "../../actions/app-context.ts";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { TuneTable } from "./TuneTable.tsx";

/** What a tuning left in the document, stated beside tuned, and what is known of it since it was made. */
export function TunedView(props: {
  readonly session: Session;
  readonly launcher: ListedLauncher;
  readonly tuning: Tuning;
  /** What the fit said when it was made; undefined for one of an earlier day. */
  readonly told: SessionTuning | undefined;
}) {
  const { session, launcher, tuning, told } = props;
  const actions = useActions();
  const { tuned } = tuning;
  if (tuned === null) {
    return (
      <p className="field-hint">
        There are no tuned values: something they depended on has changed. Tune again to have them.
      </p>
    );
  }
  const rows = savedRows(launcher, tuning);
  const notices = told === undefined ? [] : tuneNotices(told, tuning.parameters, namedShots(session));
  return (
    <>
      <h3>Tuned on {tuned.shotCount === 1 ? "one shot" : `${tuned.shotCount} shots`}</h3>
      {tuning.from === undefined ? null : (
        <p className="plain">
          They came with the launcher from the shelf: tuned in {tuning.from.outing} on{" "}
          {tuning.from.shots.join(", ")}.
        </p>
      )}
      <NoticeList notices={notices.filter(({ level }) => level !== "note")} />
      <TuneTable caption="Inputs of the launcher as stated and as tuned" rows={rows} />
      {told === undefined || told.heldOut.length === 0 ? null : (
        <>
          <h3>Held out</h3>
          {told.heldOut.map((one) => (
            <p key={one.shotId} className={one.inside ? "plain-says" : "plain-says tune-outside"}>
              {numbersHeld(heldOutSays(one, namedShots(session), session.units))}
            </p>
          ))}
        </>
      )}
      <label className="switch">
        <input
          type="checkbox"
          checked={tuning.use}
          onChange={(event) =>
            actions.change({
              kind: "set-tuning",
              launcherId: launcher.id,
              tuning: { ...tuning, use: event.target.checked },
            })
          }
        />
        <span>Use the tuned values in predictions</span>
      </label>
      <p className="field-hint">
        They hold for this launcher as it was on these shots; a prediction beyond what was tested says how far
        it goes and is less certain. A new seal, grease or another valve makes it another launcher.
      </p>
      <NoticeList notices={notices.filter(({ level }) => level === "note")} />
    </>
  );
}
