import { createMedia } from "../../src/main/media/create-media.ts";

/*
 * A program of its own, to be killed: takes frames out of a clip into a cache, as the window and the command
 * line do, and lists differences. Arguments: ffmpeg, clip, cache folder.
 */
const [ffmpegPath, clip, cacheDir] = process.argv.slice(2) as [string, string, string];
const media = createMedia({ ffmpegPath, cacheDir });
const facts = await media.inspect(clip);
await Promise.all([
  media.extract(clip, facts, 0, facts.pts.length - 1, "full"),
  media.differences(clip, facts),
]);
