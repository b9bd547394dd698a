import type { Look } from "../../shared/figures/look.ts";

export type ThemeName = "light" | "dark";

/** Colours that only the window has: the desk the papers lie on, what stands on it, fields and accents. */
export interface WindowColours {
  readonly desk: string;
  /** around the picture, where it does not fill the frame */
  readonly ground: string;
  readonly deskSoft: string;
  readonly field: string;
  readonly fieldEdge: string;
  readonly raised: string;
  readonly onMeasured: string;
  readonly cautionWash: string;
  readonly shares: readonly [string, string, string, string, string, string];
}

export const WINDOW_COLOURS: Readonly<Record<ThemeName, WindowColours>> = {
  light: {
    desk: "#e9e5da",
    ground: "#d6d0c1",
    deskSoft: "#555b59",
    field: "#ffffff",
    fieldEdge: "#8b8778",
    raised: "#f4f0e6",
    onMeasured: "#ffffff",
    cautionWash: "#f8e6df",
    shares: ["#22343a", "#4e6f75", "#7b9a9c", "#a5babb", "#c4d0cf", "#dde3e0"],
  },
  dark: {
    desk: "#121517",
    ground: "#0a0c0d",
    deskSoft: "#a6aaa5",
    field: "#121517",
    fieldEdge: "#6f7678",
    raised: "#252a2d",
    onMeasured: "#0d1a1b",
    cautionWash: "#33211f",
    shares: ["#d5e6e6", "#9dbdbe", "#739597", "#557376", "#41585b", "#334548"],
  },
};

/** The CSS custom properties of a theme, from the look that figures share and the window's own colours. */
export function colourVariables(theme: ThemeName, look: Look): Readonly<Record<string, string>> {
  const own = WINDOW_COLOURS[theme];
  const shares = Object.fromEntries(own.shares.map((colour, i) => [`--share-${i + 1}`, colour]));
  return {
    "--paper": look.paper,
    "--ink": look.ink,
    "--soft": look.soft,
    "--hairline": look.hairline,
    "--measured": look.measuredText,
    "--measured-line": look.measured,
    "--predicted": look.predictedText,
    "--push-wash": look.pushWash,
    "--free-flight-wash": look.freeFlightWash,
    "--danger": look.danger,
    "--desk": own.desk,
    "--ground": own.ground,
    "--desk-soft": own.deskSoft,
    "--field": own.field,
    "--field-edge": own.fieldEdge,
    "--raised": own.raised,
    "--on-measured": own.onMeasured,
    "--caution-wash": own.cautionWash,
    ...shares,
  };
}
