/** Which paper a figure is drawn on: the two screens, or white paper that may come out grey. */
export type Theme = "light" | "dark" | "print";

/**
 * The colours of one theme, as #rrggbb. Lines and words of one meaning have two tones, because a word needs
 * more contrast (4.5:1 on every ground it can stand on) than a line does (3:1).
 * Measured and predicted differ in hue, in lightness (L* by 10 or more) and in line style, so that each pair
 * of the three is enough: colour vision, a grey print, a dashed line.
 */
export interface Look {
  readonly paper: string;
  readonly ink: string;
  readonly soft: string;
  readonly hairline: string;
  readonly measured: string;
  readonly measuredText: string;
  readonly predicted: string;
  readonly predictedText: string;
  readonly pushWash: string;
  readonly freeFlightWash: string;
  readonly danger: string;
  /** Opacity of the uncertainty band, drawn in the measured colour. */
  readonly bandOpacity: number;
}

export const LOOKS: Readonly<Record<Theme, Look>> = {
  light: {
    paper: "#fbf9f3",
    ink: "#20262a",
    soft: "#5a605e",
    hairline: "#d8d2c4",
    measured: "#075a61",
    measuredText: "#075a61",
    predicted: "#b4541a",
    predictedText: "#963f0e",
    pushWash: "#efe2c4",
    freeFlightWash: "#dfe9ee",
    danger: "#a8221b",
    bandOpacity: 0.2,
  },
  dark: {
    paper: "#1b1f22",
    ink: "#ece7da",
    soft: "#b0b2ab",
    hairline: "#454a4c",
    measured: "#6fd0d2",
    measuredText: "#7fd6d8",
    predicted: "#dd7d42",
    predictedText: "#f0a06a",
    pushWash: "#363022",
    freeFlightWash: "#222f37",
    danger: "#ff9a8f",
    bandOpacity: 0.26,
  },
  print: {
    paper: "#ffffff",
    ink: "#14181a",
    soft: "#4d5351",
    hairline: "#cfcbc1",
    measured: "#064b50",
    measuredText: "#064b50",
    predicted: "#c05c1e",
    predictedText: "#8f3f10",
    pushWash: "#f5ecd6",
    freeFlightWash: "#e8eff3",
    danger: "#9a1c16",
    bandOpacity: 0.18,
  },
};

/** Dashes of a predicted line, px: long enough to read as dashed at any width the figures are used at. */
export const PREDICTED_DASHES = "6 4";
