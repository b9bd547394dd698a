type Json = Readonly<Record<string, unknown>>;

/** What a launcher with rocket motors called inputs that are not tuned themselves, by their paths. */
const AIRFRAME: Readonly<Record<string, string>> = {
  "drag area": "dragAreaM2",
  "air pressure": "airPressurePa",
  "air temperature": "temperatureK",
  headwind: "headwindMPerS",
};
const MOTOR: Readonly<Record<string, string>> = {
  "nozzle ahead of the centre of gravity": "aheadM",
  "nozzle above the centre of gravity": "aboveM",
  "nozzle right of the centre of gravity": "rightM",
  "thrust turned up": "tiltUpRad",
  "thrust turned right": "tiltRightRad",
  "time to the ejection charge": "ejectionS",
};

/**
 * A document of version 1 in which every input that moved with the tuned ones is named by
 * its path, none by words.
 */
export function tunedByPath(document: Json): Json {
  const tuning = document.tuning as Json | undefined;
  const tuned = tuning?.tuned as Json | null | undefined;
  if (!Array.isArray(tuned?.others)) return document;
  const others = tuned.others.map((one: unknown) =>
    isNamed(one) ? { ...one, path: pathOf(one.path) } : one,
  );
  return { ...document, tuning: { ...tuning, tuned: { ...tuned, others } } };
}

function isNamed(one: unknown): one is { readonly path: string } {
  return typeof (one as { readonly path?: unknown } | null)?.path === "string";
}

function pathOf(words: string): string {
  const [, motor, what] = /^motor (\d+) “.*”, (.+)$/.exec(words) ?? [];
  const inMotor = what === undefined ? undefined : MOTOR[what];
  return inMotor === undefined ? (AIRFRAME[words] ?? words) : `motors.${Number(motor) - 1}.${inMotor}`;
}
