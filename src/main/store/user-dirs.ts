import { isAbsolute, join } from "node:path";

type Environment = Readonly<Record<string, string | undefined>>;

/** What decides where a person's files belong: process.env, process.platform and os.homedir(). */
export interface UserPlace {
  readonly env: Environment;
  readonly platform: string;
  readonly home: string;
}

/**
 * Where derived frames and facts are kept; may be deleted at any time. LOFTMARK_CACHE wins; then the
 * platform's custom: %LOCALAPPDATA%, ~/Library/Caches, or XDG_CACHE_HOME (XDG Base Directory 0.8:
 * relative paths are ignored).
 */
export function userCacheDir(place: UserPlace): string {
  const chosen = place.env.LOFTMARK_CACHE;
  if (chosen !== undefined && chosen !== "") return chosen;
  if (place.platform === "win32") return join(localAppData(place), "loftmark", "cache");
  if (place.platform === "darwin") return join(place.home, "Library", "Caches", "loftmark");
  return join(absolute(place.env.XDG_CACHE_HOME) ?? join(place.home, ".cache"), "loftmark");
}

/** Where things that are not to be lost are kept: the example launch and the list of recent folders. */
export function userDataDir(place: UserPlace): string {
  const chosen = place.env.LOFTMARK_DATA;
  if (chosen !== undefined && chosen !== "") return chosen;
  if (place.platform === "win32") return join(localAppData(place), "loftmark", "data");
  if (place.platform === "darwin") return join(place.home, "Library", "Application Support", "loftmark");
  return join(absolute(place.env.XDG_DATA_HOME) ?? join(place.home, ".local", "share"), "loftmark");
}

function localAppData(place: UserPlace): string {
  return absolute(place.env.LOCALAPPDATA) ?? join(place.home, "AppData", "Local");
}

function absolute(path: string | undefined): string | null {
  return path !== undefined && isAbsolute(path) ? path : null;
}
