import { type ReactNode, useMemo, useRef, useState } from "react";
import {
  launcherSchematic,
  type SchematicPart,
  speaksOf,
} from "../../../shared/launchers/launcher-schematic.ts";
import type { Launcher } from "../../../shared/session/schema.ts";
import { useWidth } from "../../element-size/use-width.ts";
import { focusInput, inputNameOf, isMoved } from "./input-names.ts";
import { LauncherSchematic } from "./LauncherSchematic.tsx";

const WIDEST = 400; // px, of the drawing
const NARROWEST = 180; // px: narrower, its words would stand on each other, and it is made smaller

/** A launcher's form with its schematic: what a field speaks of lights up, and a part leads to its field. */
export function WithSchematic(props: { readonly launcher: Launcher; readonly children: ReactNode }) {
  const { launcher, children } = props;
  const column = useRef<HTMLElement>(null);
  const width = Math.min(WIDEST, Math.max(NARROWEST, useWidth(column)));
  const schematic = useMemo(() => launcherSchematic(launcher, width), [launcher, width]);
  const form = useRef<HTMLDivElement>(null);
  const [focused, setFocused] = useState<string | null>(null);
  const [pointed, setPointed] = useState<string | null>(null);
  const [pointedPart, setPointedPart] = useState<SchematicPart | null>(null);
  if (schematic === null) return children;
  const name = pointed ?? focused;
  // The later of focus and pointer counts; a pointer that rests while the page scrolls under it does not.
  const listening = {
    onFocus({ target }: React.FocusEvent) {
      setFocused(inputNameOf(target));
      setPointed(null);
      setPointedPart(null);
    },
    onBlur: () => setFocused(null),
    onPointerMove(event: React.PointerEvent) {
      if (isMoved(event)) setPointed(event.target instanceof Element ? inputNameOf(event.target) : null);
    },
    onPointerLeave: () => setPointed(null),
  };
  return (
    <div className="with-schematic">
      <div className="schematic-row">
        <LauncherSchematic
          column={column}
          of={launcher.name}
          schematic={schematic}
          isLit={(part) =>
            pointedPart === null ? name !== null && speaksOf(part, name) : part === pointedPart
          }
          onPoint={setPointedPart}
          onPress={(part) => form.current && focusInput(form.current, part.names)}
        />
        <div ref={form} {...listening}>
          {children}
        </div>
      </div>
    </div>
  );
}
