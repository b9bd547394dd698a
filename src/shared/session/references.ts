/** A rule between parts of a document that it breaks. */
export interface ReferenceFault {
  readonly path: readonly (string | number)[];
  readonly message: string;
}

interface Named {
  readonly id: string;
}

/** What a rule between parts looks at. */
interface Lists {
  readonly points: readonly (Named & { readonly on: string; readonly airframeId: string | null })[];
  readonly airframes: readonly (Named & {
    readonly centreOfGravity: { readonly fromPointId: string; readonly towardPointId: string } | null;
  })[];
  readonly launchers: readonly Named[];
  readonly cameras: readonly Named[];
  readonly tunings?: readonly { readonly launcherId: string }[] | undefined;
  readonly clips?: readonly { readonly name: string }[] | undefined;
  readonly outings?:
    | readonly (Named &
        Readonly<
          Record<"airframes" | "launchers" | "cameras", readonly { readonly here: string | null }[]>
        >)[]
    | undefined;
  readonly shelved?: readonly (Named & { readonly of: "airframe" | "launcher" | "camera" })[] | undefined;
}

interface Mark {
  readonly pointId: string;
  readonly frame: number;
}

interface Shot extends Named {
  readonly airframeId: string;
  readonly launcherId: string | null;
  readonly cameraId: string | null;
  readonly marks: readonly Mark[];
}

/** What a shot may name. */
export interface KnownIds {
  readonly airframes: ReadonlySet<string>;
  readonly launchers: ReadonlySet<string>;
  readonly cameras: ReadonlySet<string>;
  /** Of each point by its id the airframe it is on; null for one that is on none. */
  readonly points: ReadonlyMap<string, string | null>;
}

export function knownIds({ airframes, launchers, cameras, points }: Lists): KnownIds {
  const idsOf = (list: readonly { readonly id: string }[]) => new Set(list.map(({ id }) => id));
  return {
    airframes: idsOf(airframes),
    launchers: idsOf(launchers),
    cameras: idsOf(cameras),
    points: new Map(points.map(({ id, airframeId }) => [id, airframeId])),
  };
}

/**
 * Rules between the parts of a session: an id stands once in its list; what is named is there; a point on an
 * airframe names it, another names none; a shot's marks are of points that are on its airframe or on none.
 */
export function referenceFaults(
  session: Lists & { readonly shots: readonly Shot[] },
): readonly ReferenceFault[] {
  const known = knownIds(session);
  return [
    ...listFaults(session, known),
    ...twice(session.shots, "shots"),
    ...session.shots.flatMap((shot, at) => [
      ...namedFaults(shot, at, known),
      ...markFaults(shot, at, known),
      ...twiceMarked(shot.marks, at),
    ]),
  ];
}

/** In and between the lists beside the shots. */
export function listFaults(
  { points, airframes, launchers, cameras, tunings = [], clips = [], outings = [], shelved = [] }: Lists,
  known: KnownIds,
): readonly ReferenceFault[] {
  const named = (list: readonly string[]) => list.map((id) => ({ id }));
  return [
    ...twice(points, "points"),
    ...twice(airframes, "airframes"),
    ...twice(launchers, "launchers"),
    ...twice(cameras, "cameras"),
    ...twice(named(tunings.map(({ launcherId }) => launcherId)), "tunings"),
    ...twice(named(clips.map(({ name }) => name)), "clips"),
    ...twice(outings, "outings"),
    ...outings.flatMap((outing, at) =>
      (["airframes", "launchers", "cameras"] as const).flatMap((list) =>
        outing[list].flatMap(({ here }, i) =>
          missing(here, known[list], list.slice(0, -1), ["outings", at, list, i, "here"]),
        ),
      ),
    ),
    ...twice(named(shelved.map(({ of, id }) => `${of} ${id}`)), "shelved"),
    ...points.flatMap(({ on, airframeId }, at) => {
      const path = ["points", at, "airframeId"];
      if (on === "airframe" && airframeId === null) return [{ path, message: "it names no airframe" }];
      if (on !== "airframe" && airframeId !== null) {
        return [{ path, message: `it names an airframe, but the point is on "${on}"` }];
      }
      return missing(airframeId, known.airframes, "airframe", path);
    }),
    ...airframes.flatMap(({ centreOfGravity: balance }, at) =>
      (balance === null ? [] : [balance.fromPointId, balance.towardPointId]).flatMap((id) =>
        missing(id, known.points, "point", ["airframes", at, "centreOfGravity"]),
      ),
    ),
    ...tunings.flatMap(({ launcherId }, at) =>
      missing(launcherId, known.launchers, "launcher", ["tunings", at, "launcherId"]),
    ),
    ...shelved.flatMap(({ of, id }, at) => missing(id, known[`${of}s`], of, ["shelved", at, "id"])),
  ];
}

/** Of the airframe, launcher and camera that a shot names. @param at index of the shot in the document */
export function namedFaults(
  { airframeId, launcherId, cameraId }: Pick<Shot, "airframeId" | "launcherId" | "cameraId">,
  at: number,
  known: KnownIds,
): readonly ReferenceFault[] {
  return [
    ...missing(airframeId, known.airframes, "airframe", ["shots", at, "airframeId"]),
    ...missing(launcherId, known.launchers, "launcher", ["shots", at, "launcherId"]),
    ...missing(cameraId, known.cameras, "camera", ["shots", at, "cameraId"]),
  ];
}

/** Of the points that a shot's marks name. @param at index of the shot in the document */
export function markFaults(
  { marks, airframeId }: Pick<Shot, "marks" | "airframeId">,
  at: number,
  { points }: KnownIds,
): readonly ReferenceFault[] {
  return marks.flatMap(({ pointId }, i): readonly ReferenceFault[] => {
    const owner = points.get(pointId);
    const path = ["shots", at, "marks", i];
    if (owner === undefined) return [{ path, message: `no point "${pointId}"` }];
    if (owner === null || owner === airframeId) return [];
    return [
      { path, message: `point "${pointId}" is on "${owner}", and the shot's airframe is "${airframeId}"` },
    ];
  });
}

function twiceMarked(marks: readonly Mark[], at: number): readonly ReferenceFault[] {
  const seen = new Set<string>();
  return marks.flatMap(({ frame, pointId }, i) => {
    const key = `${frame} ${pointId}`;
    if (seen.has(key)) {
      return [{ path: ["shots", at, "marks", i], message: `second mark of "${pointId}" in frame ${frame}` }];
    }
    seen.add(key);
    return [];
  });
}

function missing(
  id: string | null,
  known: { has(id: string): boolean },
  what: string,
  path: readonly (string | number)[],
): readonly ReferenceFault[] {
  return id === null || known.has(id) ? [] : [{ path, message: `no ${what} "${id}"` }];
}

function twice(list: readonly { readonly id: string }[], name: string): readonly ReferenceFault[] {
  const seen = new Set<string>();
  const again = list.find(({ id }) => seen.size === seen.add(id).size);
  return again === undefined ? [] : [{ path: [name], message: `two entries with the id "${again.id}"` }];
}
