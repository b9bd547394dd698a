/** What cameras and phones write, by the end of the name, in lower case. */
export const CLIP_ENDINGS: readonly string[] =
  ".3gp .avi .m2ts .m4v .mkv .mov .mp4 .mpeg .mpg .mts .mxf .ogv .ts .webm .wmv".split(" ");

/** Whether a file counts as a clip by its name; hidden files never do. */
export function isClipName(name: string): boolean {
  const dot = name.lastIndexOf(".");
  return dot > 0 && !name.startsWith(".") && CLIP_ENDINGS.includes(name.slice(dot).toLowerCase());
}
