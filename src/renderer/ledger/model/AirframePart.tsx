import { useState } from "react";
import { copiedAirframe } from "../../../shared/session/fresh.ts";
import type { Session, Shot } from "../../../shared/session/schema.ts";
import { airframeOf } from "../../../shared/session/what-took-part.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { TextField } from "../fields/TextField.tsx";
import { AskFirst } from "../parts/AskFirst.tsx";
import { ShelfPart } from "../parts/ShelfPart.tsx";
import { useChangeAirframe } from "../parts/use-things-in-view.ts";
import { namedBy, WhichOne } from "../parts/WhichOne.tsx";

/** Which airframe the shot threw, and what it weighs. */
export function AirframePart({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const session = useAppState(sessionOf);
  const changeAirframe = useChangeAirframe();
  const airframe = airframeOf(session, shot);
  const { airframes } = session;

  /** The copy is thrown by this shot, since a person adds it for what is in view. */
  function addLikeIt(): void {
    const copy = copiedAirframe(session, airframe);
    actions.changeAll([
      { kind: "add-airframe", ...copy },
      { kind: "choose-airframe", shotId: shot.id, airframeId: copy.airframe.id },
    ]);
  }

  return (
    <>
      <h3>Airframe</h3>
      {airframes.length < 2 ? null : (
        <WhichOne
          label="This shot throws"
          list={airframes}
          value={airframe.id}
          onChoose={(id) =>
            id !== null && actions.change({ kind: "choose-airframe", shotId: shot.id, airframeId: id })
          }
        />
      )}
      <TextField
        key={`${airframe.id} name`}
        label="Name of the airframe"
        value={airframe.name}
        most={80}
        optional
        onEntry={(name) => changeAirframe({ name })}
      />
      <MeasuredField
        field="mass"
        label="All-up mass"
        path="airframe.massKg"
        optional
        measured={airframe.massKg}
        onEntry={(massKg) => changeAirframe({ massKg })}
      />
      <div className="buttons thing-buttons">
        <button type="button" className="quiet" onClick={addLikeIt}>
          Another airframe like it
        </button>
        {airframes.length < 2 ? null : (
          <RemoveAirframe key={airframe.id} session={session} airframeId={airframe.id} />
        )}
      </div>
      <ShelfPart of="airframe" id={airframe.id} shotId={shot.id} />
    </>
  );
}

/** Its shots throw another one from then on, and keep their marks. */
function RemoveAirframe(props: { readonly session: Session; readonly airframeId: string }) {
  const { session, airframeId } = props;
  const actions = useActions();
  const others = session.airframes.filter(({ id }) => id !== airframeId);
  const [chosen, choose] = useState<string | null>(null);
  const instead = others.find(({ id }) => id === chosen) ?? others[0];
  const shots = session.shots.filter((shot) => shot.airframeId === airframeId);
  if (instead === undefined) return null;
  const question =
    shots.length === 0 ? null : (
      <>
        {namedBy(shots.map(({ name }) => name))} Say what is thrown instead; the marks go over to its points
        of the same names.
        <WhichOne label="Thrown instead" list={others} value={instead.id} onChoose={choose} />
      </>
    );
  return (
    <AskFirst
      words="Remove this airframe"
      question={question}
      yes="Remove it"
      no="Keep it"
      onYes={() => actions.change({ kind: "remove-airframe", airframeId, insteadId: instead.id })}
    />
  );
}
