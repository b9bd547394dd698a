import { motorClass } from "../../../shared/launch/rocket/motor-class.ts";
import { motorImpulse } from "../../../shared/launch/rocket/rocket-cautions.ts";
import { meanThrust, peakThrust, specificImpulse } from "../../../shared/launch/rocket/thrust-curve.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import { elementAt } from "../../../shared/quantity/known-element.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { Motor } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { TextField } from "../fields/TextField.tsx";
import { curveOf, type PacketThrust, packetOf } from "./motor-entries.ts";
import { ThrustCurveField } from "./ThrustCurveField.tsx";

type MotorKey = { [K in keyof Motor]-?: Motor[K] extends Measured ? K : never }[keyof Motor];
type PacketKey = Exclude<keyof PacketThrust, "by">;

const PACKET: readonly PacketKey[] = ["totalImpulseNs", "meanThrustN", "riseS", "fallS"];
const PLACE: readonly MotorKey[] = ["aheadM", "aboveM", "rightM", "tiltUpRad", "tiltRightRad"];

export interface MotorFieldsProps {
  readonly motor: Motor;
  /** Of the motor in its launcher: "motors.0". */
  readonly place: string;
  readonly onMotor: (motor: Motor) => void;
  /** Left out for the only motor, which stays. */
  readonly onRemove?: (() => void) | undefined;
}

/** One rocket motor: its thrust, propellant, place, and when it lights. */
export function MotorFields({ motor, place, onMotor, onRemove }: MotorFieldsProps) {
  const { thrust } = motor;
  const patch = (part: Partial<Motor>) => onMotor({ ...motor, ...part });
  const field = (
    key: string,
    measured: Measured,
    onEntry: (measured: Measured) => void,
    path: string,
    hint?: string,
  ) => (
    <MeasuredField
      key={key}
      field={`launcher ${motor.id} ${key}`}
      path={path}
      measured={measured}
      hint={hint}
      onEntry={(entry) => entry && onEntry(entry)}
    />
  );
  const own = (key: MotorKey, hint?: string) =>
    field(key, motor[key], (measured) => patch({ [key]: measured }), `launcher.motors[].${key}`, hint);
  return (
    <section className="group" aria-label={`Motor ${motor.name}`} data-place={place}>
      <TextField label="Motor" value={motor.name} most={80} onEntry={(name) => patch({ name })} />
      <Choice
        label="In this shot it"
        options={[
          ["lit", "lights"],
          ["failed", "fails to light"],
        ]}
        value={motor.lit ? "lit" : "failed"}
        onChoose={(choice) => patch({ lit: choice === "lit" })}
      />
      <Choice
        label="Thrust"
        options={[
          ["trapezoid", "from the packet"],
          ["curve", "measured curve"],
        ]}
        value={thrust.by}
        onChoose={(by) => {
          if (by === thrust.by) return;
          patch({ thrust: thrust.by === "curve" ? packetOf(thrust) : curveOf(thrust) });
        }}
      />
      {thrust.by === "curve" ? (
        <ThrustCurveField
          field={`launcher ${motor.id} curve`}
          points={thrust.points}
          onEntry={(points) => patch({ thrust: { by: "curve", points: points.map(([t, f]) => [t, f]) } })}
        />
      ) : (
        PACKET.map((key) =>
          field(
            key,
            thrust[key],
            (measured) => patch({ thrust: { ...thrust, [key]: measured } }),
            `launcher.motors[].thrust.${key}`,
          ),
        )
      )}
      <p className="field-hint">{factsOf(motor)}</p>
      {own("thrustScale", "1 as stated; its ± is how much motors of one make differ.")}
      {own("propellantKg")}
      <More title="Place and tilt" says={placeOf(motor)}>
        {PLACE.map((key) => own(key))}
      </More>
      <More title="Ignition and ejection" says={timesOf(motor)}>
        {own("delayS")}
        <MeasuredField
          field={`launcher ${motor.id} ejectionS`}
          path="launcher.motors[].ejectionS"
          optional
          measured={motor.ejectionS}
          hint="Empty for a motor without a charge."
          onEntry={(ejectionS) => patch({ ejectionS })}
        />
      </More>
      {onRemove === undefined ? null : (
        <p className="plain">
          <button type="button" className="quiet" onClick={onRemove}>
            Remove {motor.name}
          </button>
        </p>
      )}
    </section>
  );
}

/** Impulse, class, peak, mean and specific impulse in one line. */
function factsOf(motor: Motor): string {
  const { thrust, propellantKg, thrustScale } = motor;
  const impulse = motorImpulse(motor);
  if (!(impulse.value > 0)) return "";
  const found = motorClass(impulse.value);
  const specific = Number(specificImpulse(impulse.value, propellantKg.value).toPrecision(3));
  const shape =
    thrust.by === "curve"
      ? `peak ${round(peakThrust(thrust.points) * thrustScale.value)} N, mean ${round(meanThrust(thrust.points) * thrustScale.value)} N over ${round(thrust.points.at(-1)![0] - elementAt(thrust.points, 0)[0])} s`
      : `burns ${round(thrust.totalImpulseNs.value / thrust.meanThrustN.value)} s`;
  const letter =
    found === null ? "above class O" : `class ${found.letter} (${found.aboveNs} to ${found.upToNs} N·s)`;
  return `${showMeasured(impulse, "N·s").text}, ${letter}; ${shape}; specific impulse ${specific} s.`;
}

function placeOf({ aheadM, aboveM, rightM }: Motor): string {
  const side = (value: number, positive: string, negative: string) =>
    value === 0 ? [] : [`${round(Math.abs(value) * 1e3)} mm ${value > 0 ? positive : negative}`];
  const places = [
    ...side(aheadM.value, "ahead", "behind"),
    ...side(aboveM.value, "above", "below"),
    ...side(rightM.value, "right", "left"),
  ];
  return places.length === 0 ? "at the balance point" : places.join(", ");
}

function timesOf({ delayS, ejectionS }: Motor): string {
  const first = delayS.value === 0 ? "with the first" : `${round(delayS.value * 1e3)} ms late`;
  return ejectionS === null ? first : `${first}, charge after ${round(ejectionS.value)} s`;
}

function round(x: number): number {
  return Number(x.toPrecision(3));
}
