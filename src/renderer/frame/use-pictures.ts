import { useCallback, useEffect, useLayoutEffect, useRef, useState } from "react";
import { clipVersion } from "../../shared/api/client.ts";
import { useAppState, useTools } from "../actions/app-context.ts";
import { damagedOf, lookAtDamage } from "../actions/known-damage.ts";
import { factsOf, shotOf } from "../app-state/app-state.ts";
import { faultOf } from "../saving/autosave.ts";
import { createExtractAhead, type ExtractAhead } from "./extract-ahead.ts";
import { createPictures, type Picture, type Pictures } from "./pictures.ts";

const REST_MS = 90; // a cursor that stands this long is being looked at, not moved through
// 50 pictures of 1080p or 113 of 720p: what is decoded both ways of ten steps back and forth
const BUDGET_BYTES = 420e6;

export interface ShownPicture {
  /** null while not even the half size picture is there */
  readonly picture: Picture | null;
  readonly frame: number;
}

/**
 * Keeps the base canvas showing the window's frame: the decoded picture at once when it is there, its half
 * size one until then, the one before as long as there is neither.
 */
export function usePictures(canvas: React.RefObject<HTMLCanvasElement | null>): {
  readonly shown: ShownPicture;
  readonly isReady: (frame: number) => boolean;
} {
  const { actions, viewportControl } = useTools();
  const clip = useAppState((s) => shotOf(s)?.clip ?? null);
  const facts = useAppState(factsOf);
  const frame = useAppState((s) => s.frame);
  const [shown, setShown] = useState<ShownPicture>({ picture: null, frame: -1 });
  const parts = useRef<{
    pictures: Pictures;
    ahead: ExtractAhead;
    /** Version of each clip's content that was last attended to. */
    versions: Map<string, string>;
  } | null>(null);
  const lastMove = useRef(0);
  const painted = useRef<Picture | null>(null);
  const firstSeen = useRef(false);

  const paint = useCallback(() => {
    const state = actions.store.get();
    const name = shotOf(state)?.clip ?? null;
    const known = factsOf(state);
    const target = canvas.current;
    if (name === null || known === null || target === null || parts.current === null) return;
    const picture = parts.current.pictures.nearest(name, state.frame);
    setShown((before) =>
      before.picture === picture && before.frame === state.frame ? before : { picture, frame: state.frame },
    );
    if (picture === null || picture === painted.current) return;
    if (target.width !== known.width || target.height !== known.height) {
      target.width = known.width;
      target.height = known.height;
    }
    target.getContext("2d", { alpha: false })?.drawImage(picture.image, 0, 0, known.width, known.height);
    painted.current = picture;
    if (picture.size === "full" && !firstSeen.current) {
      firstSeen.current = true;
      performance.mark("first-picture"); // what a bench reads
    }
  }, [actions, canvas]);

  const attend = useCallback(
    (moving: boolean) => {
      const state = actions.store.get();
      const name = shotOf(state)?.clip ?? null;
      const known = factsOf(state);
      // Before the clip is inspected its entry in the folder will do to ask for the frame: the
      // service inspects by itself.
      const content = known ?? state.clips.find((one) => one.name === name);
      if (name === null || content === undefined || parts.current === null) return;
      const { pictures, ahead, versions } = parts.current;
      const version = clipVersion(content);
      if ((versions.get(name) ?? version) !== version) ahead.forget(name);
      versions.set(name, version);
      // A block takes longer than a frame: it starts once the frame itself is there to be looked at.
      if (known !== null && pictures.isReady(name, state.frame)) {
        ahead.attend(name, state.frame, state.direction, known.pts.length);
      }
      // What is known to be damaged need not be asked for again.
      const lost = new Set(damagedOf(state).flatMap(({ frame, shown }) => (shown ? [] : [frame])));
      if (lost.has(state.frame)) return;
      pictures.attend({
        clip: name,
        content,
        count: known?.pts.length ?? null,
        frame: state.frame,
        direction: state.direction,
        moving,
        extracted: (f) => ahead.extracted(name, f) && !lost.has(f),
      });
    },
    [actions],
  );

  useEffect(() => {
    const pictures = createPictures({
      service: actions.service,
      budgetBytes: BUDGET_BYTES,
      onArrival: (_, arrived) => {
        if (arrived !== actions.store.get().frame) return;
        paint();
        attend(false);
        viewportControl.firstPicture();
      },
      onFault: (fault) => {
        const name = shotOf(actions.store.get())?.clip ?? null;
        // Said in the frame itself and on the strip, where it belongs to.
        if (fault.code === "frame-damaged" && name !== null)
          void lookAtDamage(actions.store, actions.service, name);
        else actions.tell("warning", fault);
      },
    });
    const ahead = createExtractAhead(
      async (name, { from, to }) => {
        const request = { kind: "extract", clip: name, from, to, size: "full" } as const;
        try {
          const { state } = await actions.runJob(`extract ${name} ${from}`, request);
          if (state !== "done") return false;
          await lookAtDamage(actions.store, actions.service, name);
          return true;
        } catch (error) {
          actions.tell("warning", faultOf(error));
          return false;
        }
      },
      () => attend(false),
    );
    parts.current = { pictures, ahead, versions: new Map() };
    attend(false);
    return () => {
      parts.current = null;
      painted.current = null;
      pictures.close();
    };
  }, [actions, viewportControl, paint, attend]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: another clip, frame or its facts is what calls for painting
  useLayoutEffect(paint, [paint, clip, facts, frame]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: as above, for fetching
  useEffect(() => {
    const now = performance.now();
    const moving = now - lastMove.current < REST_MS;
    lastMove.current = now;
    // In tasks of their own: a step is drawn first, and only then looks for what comes after it.
    const soon = setTimeout(() => attend(moving), 0);
    const rest = moving ? setTimeout(() => attend(false), REST_MS) : undefined;
    return () => {
      clearTimeout(soon);
      clearTimeout(rest);
    };
  }, [attend, clip, facts, frame]);

  const isReady = useCallback(
    (wanted: number) => {
      const name = shotOf(actions.store.get())?.clip ?? null;
      return name !== null && parts.current?.pictures.isReady(name, wanted) === true;
    },
    [actions],
  );
  return { shown, isReady };
}
