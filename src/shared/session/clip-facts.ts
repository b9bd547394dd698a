import { z } from "zod";
import { MovementSchema } from "./picture-schemas.ts";

/** What is known of a clip without decoding it. Times in seconds of the file's own playback clock. */
export const ClipFactsSchema = z.strictObject({
  name: z.string(),
  bytes: z.int().nonnegative(),
  modifiedMs: z.number(),
  container: z.string().describe("as ffmpeg names it, e.g. mov,mp4"),
  codec: z.string().describe("e.g. h264"),
  pixelFormat: z.string(),
  bitDepth: z.int().positive(),
  codedWidth: z.int().positive(),
  codedHeight: z.int().positive(),
  pixelAspect: z
    .tuple([z.int().positive(), z.int().positive()])
    .describe("width : height of one stored pixel"),
  rotationDeg: z.number().describe("clockwise turn that makes the picture upright: 0, 90, 180 or 270"),
  width: z.int().positive().describe("px, upright picture with square pixels: what marks refer to"),
  height: z.int().positive(),
  durationS: z.number().nonnegative(),
  playbackRateHz: z.number().positive().describe("mean rate the file plays at"),
  captureRateHz: z
    .number()
    .positive()
    .nullable()
    .describe("capture rate tag, where the container carries one"),
  constantRate: z
    .boolean()
    .describe("every interval between frames equals the first to one tick of the time base"),
  timeBase: z.tuple([z.int().positive(), z.int().positive()]).describe("seconds per tick = first / second"),
  pts: z.array(z.int()).describe("presentation timestamp of every shown frame, ticks, increasing"),
  keyFrames: z.array(z.int().nonnegative()).describe("indices of frames that decode on their own"),
  startS: z.number().describe("s, start time that seeking is relative to (minimum over streams)"),
  camera: z
    .strictObject({
      asked: z.array(z.int().nonnegative()).describe("the frames that were compared"),
      frames: MovementSchema.shape.frames.describe("where those that could be compared show one picture"),
    })
    .optional()
    .describe("how the camera moved, from some frames; left out while nobody has looked"),
  endsEarly: z
    .boolean()
    .optional()
    .describe("the file is cut off: what is listed is what is whole before the cut"),
  misplacedFrom: z
    .int()
    .nonnegative()
    .optional()
    .describe(
      "frames before this one cannot be read: from it on, all are shown at other times than they were taken",
    ),
});

export type ClipFacts = Readonly<z.infer<typeof ClipFactsSchema>>;

/** Timestamps of all frames in seconds of the file's clock, from the exact ticks. */
export function timestampsS(facts: Pick<ClipFacts, "pts" | "timeBase">): readonly number[] {
  const [num, den] = facts.timeBase;
  return facts.pts.map((ticks) => (ticks * num) / den);
}
