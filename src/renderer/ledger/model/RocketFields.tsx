import { ROCKET_CRADLE } from "../../../shared/inputs/rocket-inputs.ts";
import { rocketCautions } from "../../../shared/launch/rocket/rocket-cautions.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { RocketLauncher } from "../../../shared/session/schema.ts";
import { useAppState } from "../../actions/app-context.ts";
import { airframeInView } from "../../app-state/things-in-view.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { linesOf, MeasuredLines } from "../fields/MeasuredLines.tsx";
import { TextField } from "../fields/TextField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { useChangeAirframe, useChangeLauncher } from "../parts/use-things-in-view.ts";
import { MotorFields } from "./MotorFields.tsx";
import { withOneMore } from "./motor-entries.ts";

const MOST_MOTORS = 8;

const CRADLE = linesOf(ROCKET_CRADLE);
const AIRFRAME = ["dragAreaM2", "pitchInertiaKgM2", "yawInertiaKgM2"] as const;

/**
 * All that the rocket boost model takes of cradle, motors and airframe, with the cautions
 * of the motors beside them.
 */
export function RocketFields(props: {
  readonly launcher: RocketLauncher;
  /** Of the shot in the window: those that belong to a number here stand beside it. */
  readonly notices: readonly ShotNotice[];
}) {
  const { launcher, notices } = props;
  const changeLauncher = useChangeLauncher();
  const airframe = useAppState(airframeInView);
  const { motors } = launcher;
  const patch = (part: Partial<RocketLauncher>) => changeLauncher({ ...launcher, ...part });
  const patchAirframe = useChangeAirframe();
  return (
    <>
      <TextField label="Name" value={launcher.name} most={80} optional onEntry={(name) => patch({ name })} />
      <h3>Cradle</h3>
      <MeasuredLines lines={CRADLE} of={launcher} onEntry={patch} />
      <Choice
        label="On it the airframe"
        part="launcher.turnsOnCradle"
        options={[
          ["kept", "is kept in line"],
          ["turns", "is free to turn"],
        ]}
        value={launcher.turnsOnCradle ? "turns" : "kept"}
        onChoose={(choice) => patch({ turnsOnCradle: choice === "turns" })}
      />
      <h3>Motors</h3>
      {motors.map((motor, at) => (
        <MotorFields
          key={motor.id}
          place={`motors.${at}`}
          motor={motor}
          onMotor={(next) => patch({ motors: motors.with(at, next) })}
          onRemove={
            motors.length === 1 ? undefined : () => patch({ motors: motors.filter((_, i) => i !== at) })
          }
        />
      ))}
      {motors.length < MOST_MOTORS ? (
        <p className="plain">
          <button type="button" onClick={() => patch({ motors: withOneMore(motors) })}>
            Add a motor like the last
          </button>
        </p>
      ) : null}
      <MeasuredField
        field="launcher boosterKg"
        path="launcher.boosterKg"
        measured={launcher.boosterKg}
        hint="With the spent motors; 0 when nothing is dropped."
        onEntry={(boosterKg) => boosterKg && patch({ boosterKg })}
      />
      <NoticeList notices={rocketCautions({ ...launcher, massKg: airframe.massKg })} />
      <h3>Airframe in the boost</h3>
      <p className="plain">
        The all-up mass is with motors and booster. Without an inertia the turning about that axis is left
        out.
      </p>
      {AIRFRAME.map((key) => (
        <MeasuredField
          key={key}
          field={`boost ${key}`}
          path={`airframe.${key}`}
          optional
          measured={airframe[key] ?? null}
          onEntry={(measured) => patchAirframe({ [key]: measured })}
        />
      ))}
      <NoticeList notices={noticesBeside("boost", notices)} />
    </>
  );
}
