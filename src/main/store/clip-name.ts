import { FaultError } from "../../shared/quantity/notice.ts";

const LONGEST = 255; // characters; of most file systems bytes, which the disk then says

/** Windows opens devices by these names, with any ending. */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;

/**
 * Refuses a name that cannot be the name of a clip directly in the folder: one that leads elsewhere
 * (separators, "..", a path), a hidden file, or one that cannot be typed or shown (control
 * characters). ":" and "\" are letters like others where the system takes them; on Windows they lead
 * to drives, streams and folders.
 * @param platform as process.platform  @throws FaultError "bad-clip-name"
 */
export function mustBeClipName(name: string, platform: string = process.platform): void {
  const why = wrongWith(name, platform);
  if (why === null) return;
  throw new FaultError(
    "bad-clip-name",
    `"${name.slice(0, 80)}" ${why}.`,
    "Give the clip a plain file name, such as shot-3.mp4, and keep it directly in the field folder.",
  );
}

/**
 * Refuses a step of a path that Loftmark makes which not every system could hold: a folder copied to another
 * disk keeps its write-up.
 * @throws FaultError "bad-clip-name"
 */
export function mustBePortableName(name: string): void {
  mustBeClipName(name, "win32");
}

function wrongWith(name: string, platform: string): string | null {
  if (name === "") return "is no name";
  if (name === "." || name === ".." || name.includes("/")) return "is a path, not the name of a file";
  if (name.startsWith(".")) return "is the name of a hidden file";
  if (name.length > LONGEST) return "is too long for the name of a file";
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is refused
  if (/[\u0000-\u001f\u007f]/.test(name)) return "has characters in it that cannot be seen";
  if (platform !== "win32") return null;
  if (/[\\:]/.test(name)) return "is a path, not the name of a file";
  return DEVICE.test(name) ? "is the name of a device" : null;
}
