import { describe, expect, it } from "vitest";
import { firstObstacle, noticesBeside, noticesUnder } from "../../../../src/renderer/ledger/parts/notices.ts";
import { BESIDES, HEADINGS } from "../../../../src/shared/quantity/notice.ts";
import { clipRefusal } from "../../../../src/shared/results/notices/clip-notices.ts";
import type { ShotNotice, ShotNoticeCode } from "../../../../src/shared/results/notices/shot-notices.ts";
import { SHOT_NOTICE_SAMPLES } from "../../../support/shot-notice-samples.ts";

const ALL: readonly ShotNotice[] = Object.values(SHOT_NOTICE_SAMPLES);
const of = (...codes: readonly ShotNoticeCode[]): readonly ShotNotice[] =>
  codes.map((code) => SHOT_NOTICE_SAMPLES[code]);
const codesOf = (notices: readonly ShotNotice[]) => notices.map(({ code }) => code);
const PLACES = BESIDES.filter((place) => place !== "sentence");

describe("noticesUnder and noticesBeside", () => {
  it.each(HEADINGS)(
    "under %s show those of that heading that have no place of their own, and no others",
    (heading) => {
      const own = ALL.filter(({ about, beside }) => about === heading && beside === undefined);
      expect(noticesUnder(heading, ALL)).toEqual(own);
      expect(
        noticesUnder(
          heading,
          ALL.filter((one) => !own.includes(one)),
        ),
      ).toEqual([]);
    },
  );

  it("show every notice of a shot in one place, but those that the sentence of a heading says", () => {
    const shown = [
      ...HEADINGS.flatMap((heading) => noticesUnder(heading, ALL)),
      ...PLACES.flatMap((place) => noticesBeside(place, ALL)),
    ];
    expect(shown).toHaveLength(new Set(shown).size);
    const silent = ALL.filter((one) => !shown.includes(one));
    expect(codesOf(silent).sort()).toEqual(
      codesOf(of("no-clock", "no-launcher", "no-plumb", "no-scale")).sort(),
    );
  });

  it("read tuned values that cannot be used under Tuning, and a pick that no post ties under Scale", () => {
    const some = of("tuning-unknown-input", "tuning-broken", "pick-without-post");
    expect(codesOf(noticesUnder("tuning", some))).toEqual(["tuning-unknown-input", "tuning-broken"]);
    expect(codesOf(noticesUnder("scale", some))).toEqual(["pick-without-post"]);
    expect(noticesUnder("motion", some)).toEqual([]);
  });

  it("keep loads of end stop and base, and what the pump cannot do, for the fields they belong to", () => {
    const some = of("end-stop-over", "base-pull-near", "pump-cannot-reach", "end-stop", "stalls");
    expect(codesOf(noticesBeside("end-stop", some))).toEqual(["end-stop-over", "base-pull-near"]);
    expect(codesOf(noticesBeside("fill", some))).toEqual(["pump-cannot-reach"]);
    expect(codesOf(noticesUnder("model", some))).toEqual(["stalls"]);
    expect(codesOf(noticesUnder("verdict", some))).toEqual(["end-stop"]);
  });

  it("read a clip that cannot be read under Clip", () => {
    const unread = clipRefusal({ code: "clip-cut-off", cause: "It is cut off.", remedy: "Copy it again." });
    expect(noticesUnder("clip", [unread])).toEqual([unread]);
  });
});

describe("firstObstacle", () => {
  it("names what keeps the measurement away, not what keeps the model away", () => {
    expect(firstObstacle(of("plastic-pipe", "no-launcher", "no-scale"))?.code).toBe("no-scale");
    expect(firstObstacle(of("no-launcher", "rocket-never-leaves", "tuning-broken"))).toBeNull();
    expect(firstObstacle(of("blurred", "too-few-frames"))?.code).toBe("too-few-frames");
  });
});
