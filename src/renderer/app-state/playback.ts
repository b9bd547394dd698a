/** How playing goes: frames shown a second, and what it does at the end. */
export interface Playback {
  readonly hz: number;
  readonly loop: "no" | "push" | "clip";
}

/** How bright the picture is shown, for seeing only: marks, follower and files take it as it was filmed. */
export interface PictureLook {
  /** 1 as filmed */
  readonly brightness: number;
  readonly contrast: number;
}
export const AS_FILMED: PictureLook = { brightness: 1, contrast: 1 };
