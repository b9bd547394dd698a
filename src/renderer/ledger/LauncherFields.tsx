import type { Measured } from "../../shared/quantity/measured.ts";
import type { Launcher } from "../../shared/session/schema.ts";
import { useDesk } from "../state/desk-context.ts";
import { Choice } from "./Choice.tsx";
import type { EntryKind } from "./entry-unit.ts";
import { MeasuredField } from "./MeasuredField.tsx";
import type { EntryRule } from "./measured-entry.ts";
import { NumberField } from "./NumberField.tsx";
import { TextField } from "./TextField.tsx";

type MeasuredKey = {
  [K in keyof Launcher]: Launcher[K] extends Measured ? K : never;
}[keyof Launcher];

interface Line {
  readonly key: MeasuredKey;
  readonly label: string;
  readonly kind: EntryKind;
  readonly rule: EntryRule;
}

const TANK: readonly Line[] = [
  { key: "tankVolumeM3", label: "Tank volume, with the pipe to the valve", kind: "volume", rule: "positive" },
];
const RAM: readonly Line[] = [
  { key: "boreM", label: "Bore", kind: "small-length", rule: "positive" },
  { key: "strokeM", label: "Stroke until contact ends", kind: "length", rule: "positive" },
  { key: "deadVolumeM3", label: "Dead volume, valve to piston", kind: "small-volume", rule: "positive" },
  { key: "movingMassKg", label: "Piston, rod and cradle", kind: "mass", rule: "not-negative" },
  { key: "angleRad", label: "Push direction above horizontal", kind: "angle", rule: "any" },
];
const FRICTION: readonly Line[] = [
  { key: "breakawayN", label: "Break-away", kind: "force", rule: "not-negative" },
  { key: "slidingN", label: "Sliding", kind: "force", rule: "not-negative" },
  { key: "viscousNsPerM", label: "Growing with speed", kind: "viscous", rule: "not-negative" },
];

/** All that the ram model takes of the launcher, in the units of a workshop. */
export function LauncherFields({ launcher }: { readonly launcher: Launcher }) {
  const desk = useDesk();
  const patch = (part: Partial<Launcher>) =>
    desk.change({ kind: "set-launcher", launcher: { ...launcher, ...part } });
  const field = ({ key, label, kind, rule }: Line) => (
    <MeasuredField
      key={key}
      field={`launcher ${key}`}
      label={label}
      kind={kind}
      rule={rule}
      measured={launcher[key]}
      onEntry={(measured) => measured && patch({ [key]: measured })}
    />
  );
  const { valve, rodChamber } = launcher;
  return (
    <>
      <TextField
        label="Launcher"
        value={launcher.name}
        most={80}
        optional
        onEntry={(name) => patch({ name })}
      />
      <h3>Tank</h3>
      {TANK.map(field)}
      <Choice
        label="Made of"
        options={[
          ["metal", "metal"],
          ["plastic-pipe", "plastic pipe"],
          ["unknown", "not known"],
        ]}
        value={launcher.tankMaterial}
        onChoose={(tankMaterial) => patch({ tankMaterial })}
      />
      <NumberField
        label="Maker's rating, weakest part"
        kind="pressure"
        optional
        value={launcher.tankRatingPa}
        onEntry={(tankRatingPa) => patch({ tankRatingPa })}
      />
      <h3>Valve</h3>
      <ValveFields name="launcher valve" valve={valve} onValve={(next) => patch({ valve: next })} />
      <MeasuredField
        field="launcher openingS"
        label="Time to open fully"
        kind="time"
        rule="not-negative"
        measured={launcher.openingS}
        onEntry={(openingS) => openingS && patch({ openingS })}
      />
      <h3>Ram</h3>
      {RAM.map(field)}
      <h3>Friction</h3>
      {FRICTION.map(field)}
      <h3>Rod side</h3>
      <Choice
        label="The rod side is"
        options={[
          ["open", "open to the air"],
          ["closed", "closed, with a vent"],
        ]}
        value={rodChamber === null ? "open" : "closed"}
        onChoose={(choice) => patch({ rodChamber: choice === "open" ? null : GUESSED_ROD_CHAMBER })}
      />
      {rodChamber === null ? null : (
        <>
          <MeasuredField
            field="launcher rodDiameterM"
            label="Rod diameter"
            kind="small-length"
            rule="positive"
            measured={rodChamber.rodDiameterM}
            onEntry={(rodDiameterM) => rodDiameterM && patch({ rodChamber: { ...rodChamber, rodDiameterM } })}
          />
          <MeasuredField
            field="launcher rodVolumeM3"
            label="Volume left at the stroke's end"
            kind="small-volume"
            rule="positive"
            measured={rodChamber.volumeM3}
            onEntry={(volumeM3) => volumeM3 && patch({ rodChamber: { ...rodChamber, volumeM3 } })}
          />
          <ValveFields
            name="launcher vent"
            valve={rodChamber.vent}
            onValve={(vent) => patch({ rodChamber: { ...rodChamber, vent } })}
          />
        </>
      )}
      <h3>Gas</h3>
      <Choice
        label="During the shot the gas"
        options={[
          ["adiabatic", "keeps its heat"],
          ["isothermal", "stays at one temperature"],
        ]}
        value={launcher.gas}
        onChoose={(gas) => patch({ gas })}
      />
    </>
  );
}

type Valve = Launcher["valve"];

// As the fresh launcher's: wide enough to be seen to be a guess.
const GUESSED_ROD_CHAMBER: NonNullable<Launcher["rodChamber"]> = {
  rodDiameterM: { value: 0.012, u: 0.004 },
  volumeM3: { value: 5e-5, u: 2.5e-5 },
  vent: { conductance: { value: 2e-8, u: 1e-8 }, criticalRatio: { value: 0.3, u: 0.1 } },
};

function ValveFields(props: {
  readonly name: string;
  readonly valve: Valve;
  readonly onValve: (valve: Valve) => void;
}) {
  const { name, valve, onValve } = props;
  return (
    <>
      <MeasuredField
        field={`${name} conductance`}
        label="Sonic conductance C"
        kind="conductance"
        rule="positive"
        measured={valve.conductance}
        onEntry={(conductance) => conductance && onValve({ ...valve, conductance })}
      />
      <MeasuredField
        field={`${name} ratio`}
        label="Critical pressure ratio b"
        kind="ratio"
        rule="share"
        measured={valve.criticalRatio}
        onEntry={(criticalRatio) => criticalRatio && onValve({ ...valve, criticalRatio })}
      />
    </>
  );
}
