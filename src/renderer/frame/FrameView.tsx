import { useLayoutEffect, useRef } from "react";
import { useAppState, useTools } from "../actions/app-context.ts";
import { damageHere } from "../actions/known-damage.ts";
import { type AppState, factsOf, type resultOf, sessionOf, shotOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { activeHandle, placeOf, previewed } from "../picking/picks.ts";
import { litProposal, proposalsHere, proposalsToCome } from "../picking/proposed.ts";
import { useStore } from "../store/store.ts";
import { toPicture, toScreen, type Viewport } from "../viewport/viewport.ts";
import { FramePlaceholder } from "./FramePlaceholder.tsx";
import { hintOf } from "./hint.ts";
import { Loupe } from "./Loupe.tsx";
import { Minimap } from "./Minimap.tsx";
import { pointSigns } from "./mark-shapes.ts";
import { Overlay } from "./Overlay.tsx";
import { carriedItems } from "./overlay-carried.ts";
import type { OverlayItem } from "./overlay-item.ts";
import { overlayPlan } from "./overlay-plan.ts";
import { proposalItems } from "./overlay-proposals.ts";
import { referencePlan } from "./overlay-references.ts";
import { boardItems, sweepItems } from "./overlay-sketch.ts";
import { scaleText } from "./scale-text.ts";
import { targetUnder } from "./target-under.ts";
import { tabGoesRound, useFrameKeys } from "./use-frame-keys.ts";
import { type PointerWork, type TargetNear, useFramePointer } from "./use-frame-pointer.ts";
import { type ShownPicture, usePictures } from "./use-pictures.ts";
import { usePlayback } from "./use-playback.ts";
import { useViewSize } from "./use-view-size.ts";

const LOUPE_POWER = 8; // loupe px per picture px at least; and always three times what the picture has
const LOUPE_NEEDLESS = 14; // css px per picture px from which the picture itself is a loupe

/** The frame: the picture, and everything marked on it. */
export function FrameView() {
  const { viewportControl } = useTools();
  const view = useRef<HTMLElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const keys = useFrameKeys(view);
  const targetNear = useRef<TargetNear>(() => null);
  const { work, handlers, cancelDrag } = useFramePointer(view, keys.spaceHeld, targetNear);
  const { shown, isReady } = usePictures(canvas);
  usePlayback(isReady);
  const facts = useAppState(factsOf);
  const frame = useAppState((s) => s.frame);
  const pick = useAppState((s) => s.pick);
  const hint = useAppState(hintOf);
  const goesRound = useAppState(tabGoesRound);
  const known = useAppState(damageHere);
  const look = useAppState((s) => s.look);
  const damage = known?.shown === false ? known : null;
  const { viewport, picture } = useStore(viewportControl.store, (s) => s);
  useViewSize(view, viewportControl);
  targetNear.current = (place, reach) =>
    shown.frame === frame ? targetUnder(shown.picture, picture, place, reach) : null;

  useLayoutEffect(() => {
    if (facts !== null) viewportControl.show({ width: facts.width, height: facts.height });
  }, [facts, viewportControl]);

  // What a bench reads: the main thread's work from the key press to the frame being drawn.
  useLayoutEffect(() => {
    const started = performance.getEntriesByName("step-start").at(-1);
    if (started === undefined || shown.frame !== frame) return; // painted in the commit that shows this frame
    performance.measure("step", {
      start: started.startTime,
      detail: { frame, ready: shown.picture?.size === "full" },
    });
    performance.clearMarks("step-start");
  }, [frame, shown]);

  const { scale, x, y } = viewport;
  const late = facts !== null && (shown.picture === null || shown.frame !== frame);
  return (
    <section
      ref={view}
      className={`frame ${pick === null ? "" : "picking"} ${work.panning ? "panning" : ""}`}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: marks are placed and nudged by keys, so the frame takes focus
      tabIndex={0}
      role="application"
      aria-label="Frame"
      aria-describedby="frame-says"
      style={{ "--look": `brightness(${look.brightness}) contrast(${look.contrast})` } as React.CSSProperties}
      {...handlers}
      onKeyDown={(event) => {
        if (event.key === "Escape") cancelDrag();
        keys.onKeyDown(event);
      }}
      onKeyUp={keys.onKeyUp}
    >
      <canvas
        ref={canvas}
        className="picture"
        style={{
          transform: `translate(${x}px, ${y}px) scale(${scale})`,
          imageRendering: scale > 3 ? "pixelated" : "auto",
          visibility: facts === null || damage !== null ? "hidden" : "visible",
        }}
      />
      {facts === null || damage !== null ? null : <Minimap picture={shown.picture} />}
      {facts === null ? <FramePlaceholder /> : null}
      {facts === null || damage !== null ? null : <OverPicture work={work} shown={shown} />}
      {damage === null ? null : (
        <div className="frame-empty frame-damaged" role="status">
          <p>
            Frame {frame} is damaged in the file and cannot be shown: {damage.why}.
          </p>
          <p>Step on to another frame, or copy the clip from the card again.</p>
        </div>
      )}
      <div className="frame-says" id="frame-says" aria-live="polite">
        {hint === null ? null : <span className="says">{hint}</span>}
        {goesRound ? (
          <span className="says by-tab">Tab: the next point. Escape, then Tab: out of the frame.</span>
        ) : null}
        {known?.shown === true ? (
          <span className="says doubtful">
            Frame {frame} may be damaged: {known.why}. Compare it with the frames around it before you mark
            it.
          </span>
        ) : null}
        {late && damage === null ? <span className="says late">Frame {frame} is being fetched.</span> : null}
      </div>
      <span className="for-reader" data-testid="picture-size">
        {picture.width} by {picture.height} pixels, shown at {Math.round(scale * 100)} %.
      </span>
    </section>
  );
}

interface OverPictureProps {
  readonly work: PointerWork;
  readonly shown: ShownPicture;
}

/** What is drawn over the picture; while another face covers the frame it stands still. */
function OverPicture(props: OverPictureProps) {
  const now = useAppState((s) => (s.face === "frame" ? s : null));
  const seen = useRef(now);
  if (now !== null) seen.current = now;
  return seen.current === null ? null : <MarksOverPicture {...props} kept={seen.current} />;
}

/** Everything over the picture: scale, plumb, trails, marks, and the loupe. */
function MarksOverPicture({ work, shown, kept }: OverPictureProps & { readonly kept: AppState }) {
  const { viewportControl } = useTools();
  const { view, viewport, picture } = useStore(viewportControl.store, (s) => s);
  const { drag } = work;
  const dragged = drag === null ? null : drag.handle;
  const state = drag === null ? kept : previewed(kept, drag.handle, drag.to);
  const items = itemsOver(state, viewport);

  const active = activeHandle(state);
  const activeAt = active === null ? null : placeOf(state, active);
  const picking = state.pick !== null || drag !== null;
  const pointing = work.at !== null && !work.panning && picking;
  const target = drag !== null ? drag.to : pointing ? toPicture(viewport, work.at!) : null;
  const byKeys = target === null && work.at === null && state.selected !== null ? activeAt : null;
  const seen = target ?? byKeys;
  const name = pointsInView(state).find((point) => point.id === state.pointId)?.name ?? "";
  return (
    <>
      <Overlay view={view} items={items} />
      {seen !== null && viewport.scale < LOUPE_NEEDLESS && inside(seen, picture) ? (
        <Loupe
          pointer={drag === null && target !== null ? work.at! : toScreen(viewport, seen)}
          target={seen}
          picture={shown.picture}
          pictureSize={picture}
          view={view}
          power={Math.max(LOUPE_POWER, viewport.scale * 3)}
          label={`${labelOf(state.pick?.kind ?? dragged?.kind ?? active?.kind ?? "mark", name)} ${seen[0].toFixed(1)}, ${seen[1].toFixed(1)}`}
        />
      ) : null}
      <span className="for-reader" data-testid="marks-here">
        {marksHere(state)}
      </span>
    </>
  );
}

/** Everything drawn over the picture in a state of the window. */
function itemsOver(state: AppState, viewport: Viewport): readonly OverlayItem[] {
  const shot = shotOf(state);
  if (shot === null) return [];
  const { units } = sessionOf(state);
  const points = pointsInView(state);
  const { frame, pointId, selected, pending, sketch } = state;
  const showEnds = state.step === "scale";
  return [
    ...proposalItems(viewport, proposalsHere(state), litProposal(state), takenFor(state)),
    ...proposalItems(viewport, proposalsToCome(state), null, ""),
    ...referencePlan({
      viewport,
      rods: (shot.rods ?? []).map((rod) => ({ ...rod, text: scaleText(rod, units) })),
      level: shot.level ?? null,
      control: [...(shot.control?.points ?? []), ...sketch.control].map(({ at }) => at),
      lines: sketch.lines,
      first: pending.first,
      selected,
      showEnds,
    }),
    ...carriedItems(state, viewport),
    ...(state.step === "clock" ? sweepItems(viewport, sketch.sweeps, frame, selected) : []),
    ...(showEnds ? boardItems(viewport, sketch.board, frame, selected) : []),
    ...overlayPlan({
      viewport,
      frame,
      points,
      marks: shot.marks,
      pointId,
      selected,
      scaleA: shot.scale?.a ?? pending.scaleA,
      scaleB: shot.scale?.b ?? pending.scaleB,
      scaleText: scaleText(shot.scale, units),
      plumb: shot.plumb,
      plumbTop: pending.plumbTop,
      showEnds,
    }),
  ];
}

/** What the proposal that is lit would be taken for. */
function takenFor(state: AppState): string {
  if (state.pick?.kind === "plumb") return "plumb";
  if (state.pick?.kind === "scale") return litProposal(state)?.kind === "rod" ? "rod" : "rod end";
  return pointsInView(state).find((point) => point.id === state.pointId)?.name ?? "";
}

function inside([x, y]: readonly [number, number], picture: { width: number; height: number }): boolean {
  return x >= 0 && y >= 0 && x <= picture.width && y <= picture.height;
}

const WORDS: Readonly<Record<string, string>> = {
  scale: "rod end",
  rod: "rod end",
  plumb: "plumb",
  level: "level",
  control: "known point",
  straight: "straight line",
  edge: "edge",
  crossing: "crossing",
};

function labelOf(kind: string, pointName: string): string {
  return kind === "mark" ? pointName : (WORDS[kind] ?? "");
}

/** The marks of this frame in words, for whoever does not see the picture. */
function marksHere(state: Parameters<typeof resultOf>[0]): string {
  const shot = shotOf(state);
  const points = pointsInView(state);
  const signs = pointSigns(points);
  const here = (shot?.marks ?? []).filter((mark) => mark.frame === state.frame);
  if (here.length === 0) return "No marks in this frame.";
  return here
    .map((mark) => {
      const name = points.find((point) => point.id === mark.pointId)?.name ?? mark.pointId;
      const by = mark.by === "follower" ? ", by the follower" : "";
      return `${name} (${signs.get(mark.pointId)?.shape}${by}) at ${mark.x.toFixed(1)}, ${mark.y.toFixed(1)}`;
    })
    .join("; ");
}
