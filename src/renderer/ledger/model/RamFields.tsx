import {
  RAM_CYLINDER,
  RAM_FEED,
  RAM_FRICTION,
  RAM_LEAK,
  RAM_MOVING,
  RAM_OPENING,
  RAM_SEAT,
  RAM_TANK,
} from "../../../shared/inputs/ram-rows.ts";
import { GUESSED_EXPONENT, GUESSED_ROD_CHAMBER } from "../../../shared/launchers/ram/fresh-ram.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { linesOf, MeasuredLines } from "../fields/MeasuredLines.tsx";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { TextField } from "../fields/TextField.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { useChangeLauncher } from "../parts/use-things-in-view.ts";
import { EndStopFields } from "./EndStopFields.tsx";
import { FillFields } from "./FillFields.tsx";
import { MoreValves } from "./MoreValves.tsx";
import { OpeningFields } from "./OpeningFields.tsx";
import { conductanceText, ValveFields } from "./ValveFields.tsx";

const TANK = linesOf(RAM_TANK);
const OPENING = linesOf(RAM_OPENING);
const RAM = linesOf({ ...RAM_CYLINDER, ...RAM_MOVING });
const FRICTION = linesOf(RAM_FRICTION);
const LEAK = linesOf(RAM_LEAK);
const FEED = linesOf(RAM_FEED);
const SEAT = linesOf(RAM_SEAT);

/** All that the ram model takes of the launcher, in the units of a workshop. */
export function RamFields(props: {
  readonly launcher: RamLauncher;
  /** Of the shot in the window: those that belong to a number here stand beside it. */
  readonly notices?: readonly ShotNotice[];
}) {
  const { launcher, notices = [] } = props;
  const changeLauncher = useChangeLauncher();
  const patch = (part: Partial<RamLauncher>) => changeLauncher({ ...launcher, ...part });
  const { valve, rodChamber, leak } = launcher;
  return (
    <>
      <TextField label="Name" value={launcher.name} most={80} optional onEntry={(name) => patch({ name })} />
      <h3>Tank</h3>
      <MeasuredLines lines={TANK} of={launcher} onEntry={patch} />
      <Choice
        label="Made of"
        part="launcher.tankMaterial"
        options={[
          ["metal", "metal"],
          ["plastic-pipe", "plastic pipe"],
          ["unknown", "not known"],
        ]}
        value={launcher.tankMaterial}
        onChoose={(tankMaterial) => patch({ tankMaterial })}
      />
      <NumberField
        path="launcher.tankRatingPa"
        optional
        value={launcher.tankRatingPa}
        onEntry={(tankRatingPa) => patch({ tankRatingPa })}
      />
      {launcher.tankRatingPa === null ? null : (
        <NumberField
          path="launcher.ratingShare"
          optional
          value={launcher.ratingShare ?? null}
          hint="1 for all of it; warm or old parts hold less. Empty for all."
          onEntry={(ratingShare) => patch({ ratingShare })}
        />
      )}
      <NumberField
        path="launcher.reliefPa"
        optional
        value={launcher.reliefPa ?? null}
        onEntry={(reliefPa) => patch({ reliefPa })}
      />
      <FillFields
        fill={launcher.fill}
        notices={noticesBeside("fill", notices)}
        onFill={(fill) => patch({ fill })}
      />
      <More
        title="Feed during the shot"
        says={launcher.feedConductance === undefined ? "none" : conductanceText(launcher.feedConductance)}
      >
        <MeasuredLines lines={FEED} of={launcher} onEntry={patch} />
      </More>
      <h3>Valve</h3>
      <ValveFields
        name="launcher valve"
        path="launcher.valve"
        valve={valve}
        onValve={(next) => patch({ valve: next })}
      />
      <MeasuredLines lines={OPENING} of={launcher} onEntry={patch} />
      <OpeningFields launcher={launcher} onLauncher={patch} />
      <MoreValves
        first={{ valve, openingS: launcher.openingS }}
        valves={launcher.moreValves ?? []}
        onValves={(moreValves) => patch({ moreValves })}
      />
      <h3>Ram</h3>
      <MeasuredLines lines={RAM} of={launcher} onEntry={patch} />
      <Choice
        label="The airframe"
        part="launcher.hold"
        options={[
          ["rests", "rests against the ram, free to leave"],
          ["latch", "is held by a latch until the end of the stroke"],
        ]}
        value={launcher.hold ?? "rests"}
        onChoose={(hold) => patch({ hold })}
      />
      <More
        title="How the airframe sits"
        says={launcher.pushBelowM === undefined ? "not said; for its pitch rate" : undefined}
      >
        <p className="plain">
          A push that passes beside the balance point turns the airframe as far as the cradle lets it, and its
          last support tips it off. With the pitch inertia, asked for under Verdict, the pitch rate at release
          follows.
        </p>
        <MeasuredLines lines={SEAT} of={launcher} onEntry={patch} />
      </More>
      <More title="Leak past the piston" says={leak === undefined ? "none" : conductanceText(leak)}>
        <MeasuredLines lines={LEAK} of={launcher} onEntry={patch} />
      </More>
      <h3>Friction</h3>
      <MeasuredLines lines={FRICTION} of={launcher} onEntry={patch} />
      <More title="Rod side" says={rodChamber === null ? "open to the air" : "closed, with a vent"}>
        <Choice
          label="The rod side is"
          part="launcher.rodChamber"
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
              path="launcher.rodChamber.rodDiameterM"
              measured={rodChamber.rodDiameterM}
              onEntry={(rodDiameterM) =>
                rodDiameterM && patch({ rodChamber: { ...rodChamber, rodDiameterM } })
              }
            />
            <MeasuredField
              field="launcher rodVolumeM3"
              path="launcher.rodChamber.volumeM3"
              measured={rodChamber.volumeM3}
              onEntry={(volumeM3) => volumeM3 && patch({ rodChamber: { ...rodChamber, volumeM3 } })}
            />
            <ValveFields
              name="launcher vent"
              path="launcher.rodChamber.vent"
              valve={rodChamber.vent}
              onValve={(vent) => patch({ rodChamber: { ...rodChamber, vent } })}
            />
          </>
        )}
      </More>
      <EndStopFields launcher={launcher} notices={noticesBeside("end-stop", notices)} onLauncher={patch} />
      <More title="Heat of the gas" says={GAS.find(([gas]) => gas === launcher.gas)?.[1]}>
        <Choice
          label="During the shot the gas"
          part="launcher.gas"
          options={GAS}
          value={launcher.gas}
          onChoose={(gas) =>
            patch(
              gas === "polytropic"
                ? { gas, polytropicExponent: launcher.polytropicExponent ?? GUESSED_EXPONENT }
                : { gas },
            )
          }
        />
        {launcher.gas === "polytropic" ? (
          <MeasuredField
            field="launcher polytropicExponent"
            path="launcher.polytropicExponent"
            measured={launcher.polytropicExponent ?? GUESSED_EXPONENT}
            hint="1.4 keeps all its heat, 1 stays at the air's temperature."
            onEntry={(polytropicExponent) => polytropicExponent && patch({ polytropicExponent })}
          />
        ) : null}
      </More>
    </>
  );
}

const GAS: readonly (readonly [RamLauncher["gas"], string])[] = [
  ["adiabatic", "keeps its heat"],
  ["polytropic", "takes some heat"],
  ["isothermal", "stays at one temperature"],
];
