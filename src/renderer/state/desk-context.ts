import { createContext, useContext } from "react";
import type { Stage } from "../frame/stage.ts";
import type { ThemeControl } from "../look/theme.ts";
import type { Desk } from "./desk.ts";
import type { DeskState } from "./desk-state.ts";
import { useStore } from "./store.ts";

/** What every part of the window may use. */
export interface Tools {
  readonly desk: Desk;
  readonly stage: Stage;
  readonly theme: ThemeControl;
}

export const ToolsContext = createContext<Tools | null>(null);

/** @throws Error outside the window's root: the caller's bug */
export function useTools(): Tools {
  const tools = useContext(ToolsContext);
  if (tools === null) throw new Error("useTools: used outside the window's root");
  return tools;
}

export function useDesk(): Desk {
  return useTools().desk;
}

/** Follows a part of the desk; `select` must give the same object while the part is unchanged. */
export function useDeskState<T>(select: (state: DeskState) => T): T {
  return useStore(useTools().desk.store, select);
}
