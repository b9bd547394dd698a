import { mkdtemp, readdir, readlink, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { damageClip, HARMS, harmedTimes, kindsHere, soundClip } from "../clips/damaged-clips.ts";
import { type Judged, judge, type Truth, truthOf } from "../clips/judge-damage.ts";

export interface StressOptions {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}

const EACH = { long: 2, short: 1 } as const; // clips of each kind and harm: 210 and 105

/**
 * Damages clips of every kind in every way, and has each opened, extracted and followed: no wrong picture may
 * pass as exact, every frame that can be decoded exactly should be shown, and no program may be left at work.
 * Says the figures for each kind.
 * @returns whether no wrong picture passed, no healthy one was refused, no follow with something to follow
 *   got nothing, and no process was left
 */
export async function run({ seed, long, out }: StressOptions): Promise<boolean> {
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark-damaged-")));
  try {
    const total = newSums();
    for (const kind of await kindsHere()) {
      const sound = await soundClip(kind, folder);
      const truth = await truthOf(sound, join(folder, "cache"));
      const own = newSums();
      for (const harm of HARMS) {
        for (let i = 0; i < (long ? EACH.long : EACH.short); i++) {
          const clip = join(folder, `${harm}-${i}-${kind.name}.${kind.extension}`);
          const ownSeed = 7919 * seed + 101 * i + 13 * HARMS.indexOf(harm) + kind.name.length;
          const said = await damageClip(sound, clip, harm, ownSeed);
          const reached = await harmedTimes(sound, clip, harm);
          const judged = await judge(clip, truth, reached, join(folder, "cache"));
          for (const sums of [own, total]) add(sums, judged, truth);
          for (const line of remarks(judged))
            out(`  ${kind.name} ${harm} (seed ${ownSeed}: ${said}): ${line}\n`);
          await rm(clip);
        }
      }
      out(`${kind.name.padEnd(11)} ${wordsOf(own)}\n`);
    }
    const left = await programsIn(folder);
    out(`${"all".padEnd(11)} ${wordsOf(total)}; processes left ${left ?? "not known on this system"}\n`);
    return (
      total.wrong === 0 && total.healthyRefused === 0 && total.followedNothing === 0 && (left ?? 0) === 0
    );
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

interface Sums {
  clips: number;
  refusedWhole: number;
  frames: number;
  right: number;
  wrong: number;
  wrongClips: number;
  wrongNamed: number;
  healthyRefused: number;
  followedNothing: number;
}

const newSums = (): Sums => ({
  clips: 0,
  refusedWhole: 0,
  frames: 0,
  right: 0,
  wrong: 0,
  wrongClips: 0,
  wrongNamed: 0,
  healthyRefused: 0,
  followedNothing: 0,
});

function add(sums: Sums, judged: Judged, truth: Truth): void {
  const passed = judged.wrong.length - judged.named.length;
  sums.clips++;
  sums.frames += truth.count;
  if (judged.frames === 0) sums.refusedWhole++;
  sums.right += judged.right;
  sums.wrong += passed;
  if (passed > 0) sums.wrongClips++;
  sums.wrongNamed += judged.named.length;
  sums.healthyRefused += judged.healthyRefused.length;
  if (judged.followed === 0) sums.followedNothing++;
}

function wordsOf(sums: Sums): string {
  return [
    `${sums.clips} clips`,
    `${sums.right} of ${sums.frames} frames shown and right`,
    `wrong passed ${sums.wrong} (in ${sums.wrongClips} clips), named ${sums.wrongNamed}`,
    `healthy refused ${sums.healthyRefused}`,
    `clips refused ${sums.refusedWhole}`,
    `follows with nothing ${sums.followedNothing}`,
  ].join("; ");
}

function remarks({ wrong, named, healthyRefused, refusedAs, followed }: Judged): string[] {
  const passed = wrong.filter((frame) => !named.includes(frame));
  return [
    ...(passed.length > 0 ? [`wrong pictures passed: ${passed.join(" ")}`] : []),
    ...(healthyRefused.length > 0 ? [`${healthyRefused.length} healthy refused`] : []),
    ...(refusedAs !== null ? [`refused as ${refusedAs}`] : []),
    ...(followed === 0 ? ["nothing followed"] : []),
  ];
}

/** Processes at work in a folder or below; null where the system does not show them. */
async function programsIn(folder: string): Promise<number | null> {
  if (process.platform !== "linux") return null;
  let count = 0;
  for (const pid of await readdir("/proc")) {
    const at = /^\d+$/.test(pid) ? await readlink(join("/proc", pid, "cwd")).catch(() => "") : "";
    if (at.startsWith(folder)) count++;
  }
  return count;
}
