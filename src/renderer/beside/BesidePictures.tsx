import { useMemo, useRef, useState } from "react";
import type { Instant } from "../../shared/beside/frames-in-time.ts";
import { laidOver } from "../../shared/beside/laid-over.ts";
import { type ClipPair, pairAt, stepAt, stepsOf } from "../../shared/beside/pair-frames.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { commandFor } from "../actions/keys.ts";
import { SPEEDS } from "../frame/PlayChoices.tsx";
import { BesidePicture } from "./BesidePicture.tsx";
import { apartText, timeText } from "./beside-words.ts";
import type { Blend } from "./blend-of.ts";
import { blendText, notLaidText } from "./blend-words.ts";
import type { Side } from "./side-of.ts";
import { CALM_HZ, useBesidePlayback, useLessMotion } from "./use-beside-playback.ts";
import { type InTurn, useClipPicture } from "./use-clip-picture.ts";

interface BesidePicturesProps {
  readonly sides: readonly [Side, Side];
  readonly from: Instant;
  /** how they lie over each other; null beside each other */
  readonly blend: Blend | null;
}

/** The two pictures nearest to one time, and the ways through time: keys, slider, play. */
export function BesidePictures({ sides, from, blend }: BesidePicturesProps) {
  const actions = useActions();
  const atS = useAppState((s) => s.day.pictures.atS);
  const [first, second] = sides;
  const pair: ClipPair = useMemo(() => [first.frames, second.frames], [first.frames, second.frames]);
  const steps = useMemo(() => stepsOf(pair), [pair]);
  const step = useMemo(() => stepAt(pair, steps, atS), [pair, steps, atS]);
  const leads = pair[steps.lead];
  const timeOfStep = (at: number) => leads.timeOf(steps.frames[at] ?? 0);
  const shown = useMemo(
    () => pairAt(pair, leads.timeOf(steps.frames[step] ?? 0)),
    [pair, leads, steps, step],
  );
  const [canvasA, canvasB] = [useRef<HTMLCanvasElement>(null), useRef<HTMLCanvasElement>(null)];
  const [inTurn] = useState(oneAfterTheOther);
  const seenA = useClipPicture(canvasA, "beside-1", wantedOf(first, shown.frames[0]), inTurn);
  const seenB = useClipPicture(canvasB, "beside-2", wantedOf(second, shown.frames[1]), inTurn);
  const lessMotion = useLessMotion();
  const laid = useLaid(blend, shown.frames);
  const share = useAppState((s) => s.day.pictures.share);
  const inPx = [first.facts.width, first.facts.height] as const;
  const names = [first.name, second.name] as const;

  const last = steps.frames.length - 1;
  const goTo = (at: number) => actions.picturesAt(timeOfStep(Math.max(0, Math.min(at, last))));
  useBesidePlayback(
    {
      at: step,
      last,
      goTo,
      isReady(at) {
        const { frames } = pairAt(pair, timeOfStep(at));
        return seenA.isReady(frames[0]) && seenB.isReady(frames[1]);
      },
    },
    lessMotion,
  );

  function onKeyDown(event: React.KeyboardEvent<HTMLElement>): void {
    const target = event.target as HTMLElement;
    if (event.defaultPrevented || target.matches("select")) return;
    const command = commandFor(event);
    const free = event.key === " " && !target.matches("button");
    if (command?.kind === "step") goTo(step + command.by);
    else if (command?.kind === "go") goTo(command.to === "first" ? 0 : last);
    else if (free) play(!actions.store.get().day.pictures.playing);
    else return;
    event.preventDefault();
  }

  function play(playing: boolean): void {
    if (playing && step >= last) goTo(0);
    actions.playPictures(playing);
  }

  function open(side: Side, frame: number): void {
    actions.chooseShot(side.shotId);
    actions.showFace("frame");
    actions.goTo(frame);
  }

  const when = [timeText(shown.times[0], from), timeText(shown.times[1], from)] as const;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: its buttons and slider take the keys
    <div className="beside-in-time" onKeyDown={onKeyDown}>
      <div className={blend === null ? "beside-stage" : "beside-stage blended"}>
        <BesidePicture
          side={first}
          frame={shown.frames[0]}
          when={when[0]}
          canvas={canvasA}
          seen={seenA}
          onOpen={() => open(first, shown.frames[0])}
          {...(blend && { laid: { inPx } })}
        />
        <BesidePicture
          side={second}
          frame={shown.frames[1]}
          when={when[1]}
          canvas={canvasB}
          seen={seenB}
          onOpen={() => open(second, shown.frames[1])}
          {...(blend && { laid: { inPx, share, matrix: laid?.ok ? laid.value.matrix : null } })}
        />
      </div>
      <p className="beside-apart">
        {apartText(shown, names, blend === null ? ["left", "right"] : ["lower", "upper"])}
      </p>
      <TimeLine
        step={step}
        last={last}
        when={`${sides[steps.lead].name}: ${when[steps.lead]}`}
        goTo={goTo}
        play={play}
        zero={() => actions.picturesAt(0)}
        from={from}
        lessMotion={lessMotion}
      />
      {blend === null || laid === null ? null : (
        <p className="beside-together" role={laid.ok ? undefined : "status"}>
          {laid.ok
            ? blendText(blend, laid.value, names).join(" ")
            : notLaidText(laid.code, shown.frames, names)}
        </p>
      )}
    </div>
  );
}

/** How the frames of two shots lie over each other: one map for all, unless a camera moved. */
function useLaid(blend: Blend | null, [a, b]: readonly [number, number]) {
  const moves = blend?.shots.some((one) => one.moves) === true;
  const [forA, forB] = moves ? [a, b] : [0, 0];
  return useMemo(
    () => (blend === null ? null : laidOver(blend.shots, blend.place, [forA, forB])),
    [blend, forA, forB],
  );
}

function oneAfterTheOther(): InTurn {
  let before: Promise<unknown> = Promise.resolve();
  return (work) => {
    const mine = before.then(work);
    before = mine.catch(() => {}); // told to whoever asked for it
    return mine;
  };
}

function wantedOf({ clip, facts }: Side, frame: number) {
  return { clip, facts, frame };
}

interface TimeLineProps {
  readonly step: number;
  readonly last: number;
  readonly when: string;
  readonly goTo: (step: number) => void;
  readonly play: (playing: boolean) => void;
  readonly zero: () => void;
  readonly from: Instant;
  readonly lessMotion: boolean;
}

/** The slider over time, with a button for each way of moving along it. */
function TimeLine({ step, last, when, goTo, play, zero, from, lessMotion }: TimeLineProps) {
  const actions = useActions();
  const playing = useAppState((s) => s.day.pictures.playing);
  const hz = useAppState((s) => s.playback.hz);
  return (
    <div className="day-tools beside-time">
      <button type="button" title="Frame before: ←" aria-label="Frame before" onClick={() => goTo(step - 1)}>
        ◂
      </button>
      <button
        type="button"
        className="play"
        title="Space"
        disabled={last === 0}
        onClick={() => play(!playing)}
      >
        {playing ? "Pause" : "Play"}
      </button>
      <button type="button" title="Next frame: →" aria-label="Next frame" onClick={() => goTo(step + 1)}>
        ▸
      </button>
      <input
        type="range"
        aria-label="Time"
        aria-valuetext={when}
        min={0}
        max={last}
        step={1}
        value={step}
        onChange={(event) => goTo(Number(event.target.value))}
      />
      <button type="button" onClick={zero}>
        To {from}
      </button>
      <label>
        Frames shown a second{" "}
        <select value={hz} onChange={(event) => actions.setPlayback({ hz: Number(event.target.value) })}>
          {SPEEDS.map((one) => (
            <option key={one} value={one}>
              {one}/s
            </option>
          ))}
        </select>
      </label>
      {lessMotion && hz > CALM_HZ ? (
        <span className="day-said">
          Your system asks for less motion: {CALM_HZ} frames a second are played.
        </span>
      ) : null}
    </div>
  );
}
