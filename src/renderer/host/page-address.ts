/**
 * The page's address names the folder it shows, /?folder=ID, so that a reload stays in its folder and two
 * tabs of one host show two folders.
 */
export interface PageAddress {
  /** Id of the folder in the address; null in a plain one. */
  folder(): string | null;
  /** Puts the id into the address of this very page: no other page is loaded. */
  keep(id: string): void;
  /** Leaves for the page of another folder. */
  goTo(id: string): void;
}

/** The address of a window. */
export function pageAddressOf({ location, history }: Pick<Window, "location" | "history">): PageAddress {
  return {
    folder: () => new URL(location.href).searchParams.get("folder"),
    keep: (id) => history.replaceState(history.state, "", pathOf(id)),
    goTo: (id) => location.assign(pathOf(id)),
  };
}

function pathOf(id: string): string {
  return `/?folder=${encodeURIComponent(id)}`;
}
