import type { UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Shot } from "../session/schema.ts";
import type { LimitEnd } from "./limit-ends.ts";
import type { LimitName, NextNotice } from "./next-notices.ts";
import type { Scatter } from "./repeats.ts";
import type { SpeedInterval } from "./speed-interval.ts";

/** What one setting gives with one airframe mass. */
export interface CardCell {
  /** m/s; null where it does not launch. */
  readonly speed: Measured | null;
  readonly interval: SpeedInterval | null;
  /** Limits that are passed, or may be: such a speed is not printed. */
  readonly broken: readonly LimitName[];
  /** What the prediction warns of there, as indices into the card's cautions. */
  readonly cautions: readonly number[];
}

/** One airframe mass. */
export interface CardColumn {
  readonly massKg: Measured;
  /** One a row of the card. */
  readonly cells: readonly CardCell[];
  /** Between which settings each limit is not kept; empty for a choice of motors. */
  readonly ends: readonly LimitEnd[];
}

/** What is set: a value of the setting, or a motor in every mount. */
export interface CardRow {
  readonly x: number | null;
  readonly name: string | null;
}

/** What the launcher calls for, or what predictions on the card warn of. */
export interface CardCaution {
  readonly notice: ShotNotice;
  /** The row and column whose numbers it holds; null where it holds for all of the card. */
  readonly at: { readonly row: CardRow; readonly massKg: Measured } | null;
}

/** Speed with its interval over what is set, for one or several masses: what one takes to the field. */
export interface SpeedCard {
  readonly title: string;
  readonly launcher: string;
  readonly kind: "pressure" | "draw" | "motor" | null;
  /** Name of the shot whose air and settings are taken. */
  readonly like: string;
  readonly conditions: Shot["conditions"];
  readonly units: UnitSet;
  readonly setting: { readonly field: string; readonly symbol: string; readonly unit: Unit } | null;
  /** Limits of the setting itself, as marks on its axis. */
  readonly marks: readonly { readonly name: LimitName; readonly x: number }[];
  readonly rows: readonly CardRow[];
  readonly columns: readonly CardColumn[];
  readonly scatter: Scatter | null;
  readonly leastStallMargin: number | null;
  readonly cautions: readonly CardCaution[];
  /** Why there is no card; empty where there is one. */
  readonly notices: readonly NextNotice[];
}
