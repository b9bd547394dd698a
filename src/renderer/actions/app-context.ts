import { createContext, useContext } from "react";
import type { AppState } from "../app-state/app-state.ts";
import { useStore } from "../store/store.ts";
import type { ThemeControl } from "../theme/theme.ts";
import type { ViewportControl } from "../viewport/viewport-control.ts";
import type { Actions } from "./actions.ts";

/** What every part of the window may use. */
export interface Tools {
  readonly actions: Actions;
  readonly viewportControl: ViewportControl;
  readonly theme: ThemeControl;
}

export const ToolsContext = createContext<Tools | null>(null);

/** @throws Error outside the window's root: the caller's bug */
export function useTools(): Tools {
  const tools = useContext(ToolsContext);
  if (tools === null) throw new Error("useTools: used outside the window's root");
  return tools;
}

export function useActions(): Actions {
  return useTools().actions;
}

/** Follows a part of the window's state; `select` must give the same object while the part is unchanged. */
export function useAppState<T>(select: (state: AppState) => T): T {
  return useStore(useTools().actions.store, select);
}
