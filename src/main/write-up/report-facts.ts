import { type Fact as StatedFact, sayer } from "../../shared/launchers/launcher-facts.ts";
import { launcherModel } from "../../shared/launchers/launcher-models.ts";
import { partsSay } from "../../shared/measure/part-words.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Airframe, Launcher, Point, Session, Shot } from "../../shared/session/schema.ts";
import { airframeOf, launcherOf } from "../../shared/session/what-took-part.ts";
import { type Html, html } from "./html.ts";

type Fact = StatedFact | null;

/** Airframes and launchers as the session states them. */
export function sessionFacts({ airframes, launchers, points, units }: Session): Html {
  return factList([
    ...airframes.flatMap((airframe) => airframeFacts(airframe, points, units)),
    ...launchers.flatMap((launcher) => launcherFacts(launcher, units)),
  ]);
}

function airframeFacts(airframe: Airframe, points: readonly Point[], units: UnitSet): readonly Fact[] {
  const say = sayer(units);
  return [
    ["Airframe", airframe.name || "not named"],
    airframe.massKg && ["Mass as launched", say(airframe.massKg, "kg")],
    airframe.centreOfGravity && [
      "Centre of gravity",
      `${say(airframe.centreOfGravity.alongM, "m")} from ${pointName(points, airframe.centreOfGravity.fromPointId)} ` +
        `towards ${pointName(points, airframe.centreOfGravity.towardPointId)}, ` +
        `${say(airframe.centreOfGravity.aboveM, "m")} above that line` +
        (airframe.centreOfGravity.apartM == null
          ? ""
          : `; the two ${say(airframe.centreOfGravity.apartM, "m")} apart by tape`),
    ],
    airframe.loadLimitG && ["Load limit", `${say(airframe.loadLimitG, "1")} times weight, along the push`],
  ];
}

function launcherFacts(launcher: Launcher, units: UnitSet): readonly Fact[] {
  const model = launcherModel(launcher);
  return [["Launcher", `${launcher.name || "not named"}, ${model.words}`], ...model.facts(launcher, units)];
}

/** The clip, its clock and scale, and the air of one shot. */
export function shotFacts(session: Session, shot: Shot, facts: ClipFacts | null): Html {
  const { units } = session;
  const say = sayer(units);
  const { conditions: air, clock, scale } = shot;
  const camera = session.cameras.find((one) => one.id === shot.cameraId);
  const byFollower = shot.marks.filter((mark) => mark.by === "follower").length;
  const launcher = launcherOf(session, shot);
  return factList([
    session.airframes.length < 2 ? null : ["Airframe", airframeOf(session, shot).name || "not named"],
    session.launchers.length < 2
      ? null
      : ["Launcher", launcher === null ? "not said" : launcher.name || "not named"],
    ["Clip", shot.clip ?? "none"],
    facts && [
      "Picture",
      `${facts.width} × ${facts.height} px, ${facts.pts.length} frames, ${facts.codec}, plays at ${Number(facts.playbackRateHz.toFixed(3))} frames/s`,
    ],
    camera ? ["Camera", camera.name] : null,
    ["Clock", clock === null ? "not set" : clockText(clock, units)],
    ["Scale", scale === null ? "not set" : `rod of ${say(scale.rodM, "m")}, ends picked to ${scale.uPx} px`],
    ["Plumb", shot.plumb === null ? "not marked" : "marked"],
    ["Marks", `${shot.marks.length - byFollower} by hand, ${byFollower} by the follower`],
    ["Release", releaseFact(shot.release, units)],
    launcher === null || launcherModel(launcher).hasTank
      ? [
          "Tank pressure",
          air.gaugePressurePa === null ? "not given" : `${say(air.gaugePressurePa, "Pa")} gauge`,
        ]
      : null,
    air.tankTemperatureK ? ["Tank temperature", say(air.tankTemperatureK, "K")] : null,
    ["Air", `${say(air.temperatureK, "K")}, ${say(air.airPressurePa, "Pa")}`],
    ["Headwind", say(air.headwindMPerS, "m/s")],
    air.gustMPerS ? ["Strongest gust", say(air.gustMPerS, "m/s")] : null,
    air.releaseHeightM ? ["Release above the ground", say(air.releaseHeightM, "m")] : null,
    shot.altimeter
      ? [
          "Altimeter",
          `${say(shot.altimeter.apogeeM, "m")} at most, ${shot.altimeter.assumes === "standard" ? "in standard air" : "told the day's temperature"}`,
        ]
      : null,
    shot.notes.trim() === "" ? null : ["Notes", shot.notes],
  ]);
}

function releaseFact(release: Shot["release"], units: UnitSet): string {
  if (release.by === "change-point") return "found where the push ends in the motion";
  if (release.by === "travel") return `after ${sayer(units)(release.travelM, "m")} of travel`;
  return `seen in frame ${release.frame} ± ${release.uFrames}`;
}

function clockText(clock: NonNullable<Shot["clock"]>, units: UnitSet): string {
  if (clock.kind === "timestamps") {
    const percent = { value: 100 * clock.rateError.value, u: 100 * clock.rateError.u };
    return `the file's own timestamps, rate error ${showMeasured(percent, "1", units).text} %`;
  }
  const parts = clock.parts ?? [];
  if (parts.length > 0) return `capture rate ${partsSay(clock.captureRateHz, parts)}`;
  return `capture rate ${showMeasured(clock.captureRateHz, "1", units).text} frames/s`;
}

function factList(facts: readonly Fact[]): Html {
  return html`<dl class="facts">${facts.map((fact) =>
    fact === null ? null : html`<div><dt>${fact[0]}</dt><dd>${fact[1]}</dd></div>`,
  )}</dl>`;
}

function pointName(points: readonly Point[], id: string): string {
  return points.find((point) => point.id === id)?.name ?? id;
}
