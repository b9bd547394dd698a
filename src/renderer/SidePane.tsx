import { type ReactNode, useRef, useState } from "react";

const KEY = "loftmark-side-pane";
const LEAST = 300; // css px: below, entries lose their units
const STEP = 24;
const FRAME_LEAST = 300; // css px that the picture keeps whatever the pane wants

interface Pane {
  /** css px; null: as wide as the window suggests */
  readonly width: number | null;
  readonly folded: boolean;
}

/** The ledger at the side: widened and narrowed at its edge by pointer or keys, or folded away. */
export function SidePane({ children }: { readonly children: ReactNode }) {
  const [pane, setPane] = useState<Pane>(kept);
  const side = useRef<HTMLDivElement>(null);
  function put(next: Pane): void {
    window.localStorage.setItem(KEY, JSON.stringify(next));
    setPane(next);
  }
  const widen = (to: number) => put({ width: held(to), folded: false });
  const now = () => side.current?.clientWidth ?? LEAST;
  function onKeyDown(event: React.KeyboardEvent): void {
    const by = event.key === "ArrowLeft" ? STEP : event.key === "ArrowRight" ? -STEP : null;
    if (by !== null) widen(now() + by);
    else if (event.key === "Enter") put({ ...pane, folded: !pane.folded });
    else if (event.key === "Home") put({ width: null, folded: false });
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
  return (
    <>
      <div className="pane-edge">
        {/* biome-ignore lint/a11y/useSemanticElements: a rule that takes keys and is dragged */}
        <div
          className="pane-rule"
          role="separator"
          tabIndex={0}
          aria-label="Width of the ledger"
          aria-orientation="vertical"
          aria-valuenow={pane.folded ? 0 : Math.round(pane.width ?? 0)}
          aria-valuetext={pane.folded ? "folded away" : pane.width === null ? "as usual" : `${pane.width} px`}
          title="Drag, or ← → to widen and narrow; Enter folds it away; Home: as usual"
          onKeyDown={onKeyDown}
          onDoubleClick={() => put({ width: null, folded: false })}
          onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
          onPointerMove={(event) => {
            if (event.buttons === 1) widen(window.innerWidth - event.clientX);
          }}
        />
        <button
          type="button"
          className="quiet pane-fold"
          aria-label={pane.folded ? "Show the ledger" : "Fold the ledger away"}
          title={pane.folded ? "Show the ledger" : "Fold the ledger away"}
          onClick={() => put({ ...pane, folded: !pane.folded })}
        >
          {pane.folded ? "‹" : "›"}
        </button>
      </div>
      <div
        ref={side}
        className="pane"
        hidden={pane.folded}
        style={
          pane.width === null
            ? undefined
            : { width: `min(${pane.width}px, calc(100vw - ${FRAME_LEAST + 130}px))` }
        }
      >
        {children}
      </div>
    </>
  );
}

function held(width: number): number {
  return Math.round(Math.max(LEAST, Math.min(width, 0.7 * window.innerWidth)));
}

/** As it was left in this browser. */
function kept(): Pane {
  try {
    const { width, folded } = JSON.parse(window.localStorage.getItem(KEY) ?? "{}") as Partial<Pane>;
    return { width: typeof width === "number" ? held(width) : null, folded: folded === true };
  } catch {
    return { width: null, folded: false };
  }
}
