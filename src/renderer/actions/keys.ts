/**
 * What a key press asks for, apart from Space, which is a hold as well as a press and
 * is handled by the frame.
 */
export type Command =
  | { readonly kind: "step"; readonly by: number }
  | { readonly kind: "go"; readonly to: "first" | "last" }
  | { readonly kind: "shot"; readonly by: 1 | -1 }
  | { readonly kind: "nudge"; readonly dx: number; readonly dy: number }
  | { readonly kind: "remove" }
  | { readonly kind: "place"; readonly byHand: boolean }
  | { readonly kind: "light"; readonly by: 1 | -1 }
  | { readonly kind: "pan"; readonly x: number; readonly y: number }
  | { readonly kind: "choose-point"; readonly index: number }
  | { readonly kind: "undo" }
  | { readonly kind: "redo" }
  | { readonly kind: "zoom"; readonly by: 1 | -1 }
  | { readonly kind: "fit" }
  | { readonly kind: "lamp" }
  | { readonly kind: "follow"; readonly back: boolean }
  | { readonly kind: "follow-all" }
  | { readonly kind: "keys" }
  | { readonly kind: "cancel" };

export interface KeyPress {
  readonly key: string;
  readonly altKey: boolean;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
}

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/**
 * The command of a key press, or null: arrows step frames, with Alt they nudge by 0.1 px (1 px with Shift
 * too), with Ctrl and Shift by 10 px, with Ctrl alone they move the view.
 */
export function commandFor(press: KeyPress): Command | null {
  const { key, altKey, shiftKey } = press;
  if (press.ctrlKey || press.metaKey) return withControl(press);
  const arrow = ARROWS[key];
  if (arrow !== undefined && altKey) {
    const size = shiftKey ? 1 : 0.1;
    return { kind: "nudge", dx: arrow[0] * size, dy: arrow[1] * size };
  }
  if (altKey) return null;
  if (arrow !== undefined)
    return arrow[0] === 0 ? null : { kind: "step", by: arrow[0] * (shiftKey ? 10 : 1) };
  if (/^[1-9]$/.test(key)) return { kind: "choose-point", index: Number(key) - 1 };
  switch (key) {
    case "Home":
      return { kind: "go", to: "first" };
    case "End":
      return { kind: "go", to: "last" };
    case "PageDown":
      return { kind: "shot", by: 1 };
    case "PageUp":
      return { kind: "shot", by: -1 };
    case "Delete":
    case "Backspace":
      return { kind: "remove" };
    case "Enter":
      return { kind: "place", byHand: shiftKey };
    case "p":
    case "P":
      return { kind: "light", by: shiftKey ? -1 : 1 };
    case "+":
    case "=":
      return { kind: "zoom", by: 1 };
    case "-":
    case "_":
      return { kind: "zoom", by: -1 };
    case "0":
      return { kind: "fit" };
    case "l":
    case "L":
      return { kind: "lamp" };
    case "f":
    case "F":
      return { kind: "follow", back: shiftKey };
    case "a":
    case "A":
      return { kind: "follow-all" };
    case "?":
      return { kind: "keys" };
    case "Escape":
      return { kind: "cancel" };
    default:
      return null;
  }
}

/** Of the arrows and of undo, with Ctrl or the Mac's command key held. */
function withControl({ key, altKey, shiftKey }: KeyPress): Command | null {
  if (altKey) return null;
  const arrow = ARROWS[key];
  if (arrow !== undefined) {
    const [x, y] = arrow;
    return shiftKey ? { kind: "nudge", dx: 10 * x, dy: 10 * y } : { kind: "pan", x, y };
  }
  if (key.toLowerCase() === "z") return { kind: shiftKey ? "redo" : "undo" };
  return key.toLowerCase() === "y" ? { kind: "redo" } : null;
}
