import type { EntryKind } from "../../shared/inputs/entry-unit.ts";
import { motorClass } from "../../shared/launch/motor-class.ts";
import { motorImpulse } from "../../shared/launch/rocket-cautions.ts";
import { meanThrust, peakThrust, specificImpulse } from "../../shared/launch/thrust-curve.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import type { Motor } from "../../shared/session/schema.ts";
import { Choice } from "./Choice.tsx";
import { curveOf, type PacketThrust, packetOf } from "./fresh-rocket.ts";
import { MeasuredField } from "./MeasuredField.tsx";
import { More } from "./More.tsx";
import type { EntryRule } from "./measured-entry.ts";
import { TextField } from "./TextField.tsx";
import { ThrustCurveField } from "./ThrustCurveField.tsx";

type Line<Key extends string> = readonly [key: Key, label: string, kind: EntryKind, rule: EntryRule];
type MotorKey = { [K in keyof Motor]-?: Motor[K] extends Measured ? K : never }[keyof Motor];
type PacketKey = Exclude<keyof PacketThrust, "by">;

const PACKET: readonly Line<PacketKey>[] = [
  ["totalImpulseNs", "Total impulse", "impulse", "positive"],
  ["meanThrustN", "Mean thrust", "force", "positive"],
  ["riseS", "From ignition to full thrust", "time", "not-negative"],
  ["fallS", "From full thrust to none", "time", "not-negative"],
];
const PLACE: readonly Line<MotorKey>[] = [
  ["aheadM", "Nozzle ahead of balance point", "small-length", "any"],
  ["aboveM", "Nozzle above it", "small-length", "any"],
  ["rightM", "Nozzle right of it, from behind", "small-length", "any"],
  ["tiltUpRad", "Thrust turned up", "angle", "any"],
  ["tiltRightRad", "Thrust turned right", "angle", "any"],
];

export interface MotorFieldsProps {
  readonly motor: Motor;
  readonly onMotor: (motor: Motor) => void;
  /** Left out for the only motor, which stays. */
  readonly onRemove?: (() => void) | undefined;
}

/** One rocket motor: its thrust, propellant, place, and when it lights. */
export function MotorFields({ motor, onMotor, onRemove }: MotorFieldsProps) {
  const { thrust } = motor;
  const patch = (part: Partial<Motor>) => onMotor({ ...motor, ...part });
  const field = (
    [key, label, kind, rule]: Line<string>,
    measured: Measured,
    onEntry: (measured: Measured) => void,
    path: string,
    hint?: string,
  ) => (
    <MeasuredField
      key={key}
      field={`launcher ${motor.id} ${key}`}
      label={label}
      path={path}
      kind={kind}
      rule={rule}
      measured={measured}
      hint={hint}
      onEntry={(entry) => entry && onEntry(entry)}
    />
  );
  const own = (line: Line<MotorKey>, hint?: string) =>
    field(
      line,
      motor[line[0]],
      (measured) => patch({ [line[0]]: measured }),
      `launcher.motors[].${line[0]}`,
      hint,
    );
  return (
    <section className="group" aria-label={`Motor ${motor.name}`}>
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
        PACKET.map((line) =>
          field(
            line,
            thrust[line[0]],
            (measured) => patch({ thrust: { ...thrust, [line[0]]: measured } }),
            `launcher.motors[].thrust.${line[0]}`,
          ),
        )
      )}
      <p className="field-hint">{factsOf(motor)}</p>
      {own(
        ["thrustScale", "Thrust, times the above", "ratio", "positive"],
        "1 as stated; its ± is how much motors of one make differ.",
      )}
      {own(["propellantKg", "Propellant burnt", "small-mass", "positive"])}
      <More title="Place and tilt" says={placeOf(motor)}>
        {PLACE.map((line) => own(line))}
      </More>
      <More title="Ignition and ejection" says={timesOf(motor)}>
        {own(["delayS", "Lights after the first ignition", "time", "not-negative"])}
        <MeasuredField
          field={`launcher ${motor.id} ejectionS`}
          label="From burnout to the ejection charge"
          path="launcher.motors[].ejectionS"
          kind="duration"
          rule="positive"
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
      ? `peak ${round(peakThrust(thrust.points) * thrustScale.value)} N, mean ${round(meanThrust(thrust.points) * thrustScale.value)} N over ${round(thrust.points.at(-1)![0] - thrust.points[0]![0])} s`
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
