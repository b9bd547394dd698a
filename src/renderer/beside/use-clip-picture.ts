import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react";
import { clipVersion } from "../../shared/api/client.ts";
import type { DamagedFrame } from "../../shared/api/contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { lookAtDamage } from "../actions/known-damage.ts";
import { createExtractAhead, type ExtractAhead } from "../frame/extract-ahead.ts";
import { createPictures, type Pictures } from "../frame/pictures.ts";

// of each side: 18 pictures of 1080p, what is fetched about a frame that is looked at
const BUDGET_BYTES = 150e6;

/** The frame of a clip that is to be seen. */
export interface WantedFrame {
  readonly clip: string;
  readonly facts: ClipFacts;
  readonly frame: number;
}

/** What is seen of it. */
export interface SeenFrame {
  /** the frame whose picture stands there now; null while there is none of this clip */
  readonly shown: number | null;
  /** why the wanted frame cannot be shown */
  readonly fault: Fault | null;
  /** what is known against the wanted frame */
  readonly damage: DamagedFrame | null;
  /** whether nothing needs to be waited for before a frame is gone to */
  readonly isReady: (frame: number) => boolean;
  /** asks for the wanted frame once more */
  readonly again: () => void;
}

const NO_DAMAGE: readonly DamagedFrame[] = [];

/** Waits for its turn: of the two sides' frames, one stretch at a time is taken out of its clip. */
export type InTurn = <T>(work: () => Promise<T>) => Promise<T>;

/**
 * Keeps a canvas showing a frame of a clip, and frames beside it decoded. The picture is the one that the
 * frame's own face shows: upright, with square pixels. One that comes late is painted only if it is still the
 * wanted one.
 * @param key tells the two sides' work apart
 */
export function useClipPicture(
  canvas: React.RefObject<HTMLCanvasElement | null>,
  key: string,
  wanted: WantedFrame,
  inTurn: InTurn,
): SeenFrame {
  const actions = useActions();
  const { clip, facts, frame } = wanted;
  const version = `${clipVersion(facts)} ${clip}`;
  const damaged = useAppState((s) => s.damaged[clip] ?? NO_DAMAGE);
  const lost = useMemo(() => new Set(damaged.flatMap((one) => (one.shown ? [] : [one.frame]))), [damaged]);
  const [shown, setShown] = useState<{ readonly version: string; readonly frame: number } | null>(null);
  const [faults, setFaults] = useState<ReadonlyMap<string, Fault>>(new Map());
  const now = useRef({ ...wanted, version, lost, faults });
  now.current = { ...wanted, version, lost, faults };
  const parts = useRef<{ readonly pictures: Pictures; readonly ahead: ExtractAhead } | null>(null);
  const before = useRef({ version, frame, direction: 1 as 1 | -1 });

  const paint = useCallback(() => {
    const { clip, facts, frame, version } = now.current;
    const target = canvas.current;
    const picture = parts.current?.pictures.nearest(clip, frame) ?? null;
    if (target === null || picture === null) return;
    if (target.width !== facts.width || target.height !== facts.height) {
      target.width = facts.width;
      target.height = facts.height;
    }
    target.getContext("2d", { alpha: false })?.drawImage(picture.image, 0, 0, facts.width, facts.height);
    setShown((one) => (one?.version === version && one.frame === frame ? one : { version, frame }));
  }, [canvas]);

  const attend = useCallback(() => {
    const { clip, facts, frame, version, lost } = now.current;
    if (parts.current === null) return;
    const { pictures, ahead } = parts.current;
    const last = before.current;
    if (last.version !== version) ahead.forget(clip);
    const direction = frame === last.frame ? last.direction : frame > last.frame ? 1 : -1;
    before.current = { version, frame, direction };
    if (pictures.isReady(clip, frame)) ahead.attend(clip, frame, direction, facts.pts.length);
    if (lost.has(frame)) return;
    pictures.attend({
      ...{ clip, frame, direction },
      content: facts,
      count: facts.pts.length,
      moving: false,
      extracted: (one) => ahead.extracted(clip, one) && !lost.has(one),
    });
  }, []);

  useEffect(() => {
    const faultAt = (at: number, fault: Fault | null) =>
      setFaults((all) => {
        const place = `${at} ${now.current.version}`;
        if (fault === null && !all.has(place)) return all;
        const next = new Map(all);
        if (fault === null) next.delete(place);
        else next.set(place, fault);
        return next;
      });
    const pictures = createPictures({
      service: actions.service,
      budgetBytes: BUDGET_BYTES,
      onArrival(_, arrived) {
        faultAt(arrived, null);
        if (arrived !== now.current.frame) return;
        paint();
        attend();
      },
      onFault(fault, at) {
        faultAt(at, fault);
        if (fault.code === "frame-damaged")
          void lookAtDamage(actions.store, actions.service, now.current.clip);
      },
    });
    const ahead = createExtractAhead(async (name, { from, to }) => {
      const request = { kind: "extract", clip: name, from, to, size: "full" } as const;
      try {
        const run = () => actions.runJob(`extract ${key} ${name} ${from}`, request);
        return (await inTurn(run)).state === "done";
      } catch {
        return false; // said in the frame that is asked for
      }
    }, attend);
    parts.current = { pictures, ahead };
    return () => {
      parts.current = null;
      pictures.close();
    };
  }, [actions, key, inTurn, paint, attend]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: another frame or content is what calls for painting
  useLayoutEffect(paint, [paint, version, frame]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: as above, for fetching
  useEffect(attend, [attend, version, frame, lost]);

  const isReady = useCallback((at: number) => {
    const { clip, version, lost, faults } = now.current;
    return (
      parts.current?.pictures.isReady(clip, at) === true || lost.has(at) || faults.has(`${at} ${version}`)
    );
  }, []);
  return {
    shown: shown?.version === version ? shown.frame : null,
    fault: faults.get(`${frame} ${version}`) ?? null,
    damage: damaged.find((one) => one.frame === frame) ?? null,
    isReady,
    again: useCallback(() => {
      setFaults(new Map());
      attend();
    }, [attend]),
  };
}
