/** The desktop's own scheme, and the addresses of its page. */
export const SCHEME = "loftmark";
export const HOME = `${SCHEME}://app/`;

/**
 * True for addresses of the page itself. Chromium's URL gives our scheme no origin,
 * so its parts are compared.
 */
export function isOurs(url: string): boolean {
  const { protocol: scheme, host: name } = new URL(url);
  return scheme === `${SCHEME}:` && name === "app";
}

/** The page of an open folder. */
export function pageOf(id: string): string {
  return `${HOME}?folder=${encodeURIComponent(id)}`;
}

/** Id of the folder that a page shows; null when its address does not say. */
export function folderIn(url: string): string | null {
  return isOurs(url) ? new URL(url).searchParams.get("folder") : null;
}
