import { LOOKS } from "../../shared/figures/look.ts";
import { createStore, type Store } from "../store/store.ts";
import { colourVariables, type ThemeName } from "./colours.ts";

/** What the person chose: a theme, or whatever the machine is set to. */
export type ThemeChoice = ThemeName | "machine";

export interface ThemeControl {
  readonly store: Store<{ readonly choice: ThemeChoice; readonly theme: ThemeName }>;
  choose(choice: ThemeChoice): void;
}

const KEY = "loftmark-theme";

/** Follows the machine's light or dark setting until the person chooses; writes the colours on the page. */
export function createThemeControl(page: Window): ThemeControl {
  const machine = page.matchMedia("(prefers-color-scheme: dark)");
  const resolve = (choice: ThemeChoice): ThemeName =>
    choice === "machine" ? (machine.matches ? "dark" : "light") : choice;
  const kept = page.localStorage.getItem(KEY);
  const choice: ThemeChoice = kept === "light" || kept === "dark" ? kept : "machine";
  const store = createStore({ choice, theme: resolve(choice) });

  function paint(): void {
    const { theme } = store.get();
    const style = page.document.documentElement.style;
    style.colorScheme = theme;
    for (const [name, value] of Object.entries(colourVariables(theme, LOOKS[theme]))) {
      style.setProperty(name, value);
    }
  }

  function choose(next: ThemeChoice): void {
    if (next === "machine") page.localStorage.removeItem(KEY);
    else page.localStorage.setItem(KEY, next);
    store.set({ choice: next, theme: resolve(next) });
    paint();
  }

  machine.addEventListener("change", () => {
    if (store.get().choice === "machine") choose("machine");
  });
  paint();
  return { store, choose };
}
