import { type ReactNode, useLayoutEffect, useMemo, useRef, useState } from "react";
import { launcherSchematic, speaksOf } from "../../../shared/launchers/launcher-schematic.ts";
import type { Launcher } from "../../../shared/session/schema.ts";
import { focusInput, inputNameOf } from "./input-names.ts";
import { LauncherSchematic } from "./LauncherSchematic.tsx";

const WIDEST = 400; // px, of the drawing
const NARROWEST = 180; // px: narrower, its words would stand on each other, and it is made smaller

/** A launcher's form with its schematic: what a field speaks of lights up, and a part leads to its field. */
export function WithSchematic(props: { readonly launcher: Launcher; readonly children: ReactNode }) {
  const { launcher, children } = props;
  const [column, width] = useWidth();
  const schematic = useMemo(() => launcherSchematic(launcher, width), [launcher, width]);
  const form = useRef<HTMLDivElement>(null);
  const [focused, setFocused] = useState<string | null>(null);
  const [pointed, setPointed] = useState<string | null>(null);
  if (schematic === null) return children;
  const name = pointed ?? focused;
  const listening = {
    onFocus: ({ target }: React.FocusEvent) => setFocused(inputNameOf(target)),
    onBlur: () => setFocused(null),
    onPointerOver: ({ target }: React.PointerEvent) =>
      setPointed(target instanceof Element ? inputNameOf(target) : null),
    onPointerLeave: () => setPointed(null),
  };
  return (
    <div className="with-schematic">
      <div className="schematic-row">
        <LauncherSchematic
          column={column}
          of={launcher.name}
          schematic={schematic}
          isLit={(part) => name !== null && speaksOf(part, name)}
          onPress={(part) => form.current && focusInput(form.current, part.names)}
        />
        <div ref={form} {...listening}>
          {children}
        </div>
      </div>
    </div>
  );
}

/** The width that a drawing takes in its column. */
function useWidth(): [column: React.RefObject<HTMLElement | null>, width: number] {
  const column = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(320);
  useLayoutEffect(() => {
    const element = column.current;
    if (element === null) return;
    const look = () => setWidth(Math.min(WIDEST, Math.max(NARROWEST, element.clientWidth)));
    look();
    const observer = new ResizeObserver(look);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [column, width];
}
