/** What an input of the ram is called, and the unit its SI value is given in, for messages. */
export interface InputWords {
  readonly words: string;
  readonly unit: string;
}

const WORDS: Readonly<Record<string, InputWords>> = {
  tankVolumeM3: { words: "tank volume", unit: "m³" },
  gaugePressurePa: { words: "gauge pressure of the tank", unit: "Pa" },
  airPressurePa: { words: "air pressure", unit: "Pa" },
  temperatureK: { words: "air temperature, counted from absolute zero", unit: "K" },
  boreM: { words: "bore", unit: "m" },
  strokeM: { words: "stroke", unit: "m" },
  deadVolumeM3: { words: "dead volume", unit: "m³" },
  openingS: { words: "valve's opening time", unit: "s" },
  delayS: { words: "valve's delay", unit: "s" },
  totalMassKg: { words: "mass of airframe and moving parts", unit: "kg" },
  airframeMassKg: { words: "airframe's mass", unit: "kg" },
  movingMassKg: { words: "mass of piston, rod and cradle", unit: "kg" },
  angleRad: { words: "push direction", unit: "rad" },
  breakawayN: { words: "break-away friction", unit: "N" },
  slidingN: { words: "sliding friction", unit: "N" },
  viscousNsPerM: { words: "friction growing with speed", unit: "N·s/m" },
  leak: { words: "leak past the piston", unit: "m³/(s·Pa)" },
  polytropicExponent: { words: "exponent of the gas", unit: "" },
  "rodChamber.rodDiameterM": { words: "rod diameter", unit: "m" },
  "rodChamber.volumeM3": { words: "volume left on the rod side", unit: "m³" },
  "endStop.bufferTravelM": { words: "buffer's travel", unit: "m" },
  wingAreaM2: { words: "wing area", unit: "m²" },
  liftCoefficientMax: { words: "greatest lift coefficient", unit: "" },
  headwindMPerS: { words: "headwind", unit: "m/s" },
};

const VALVE: Readonly<Record<string, InputWords>> = {
  "valve.conductance": { words: "sonic conductance", unit: "m³/(s·Pa)" },
  "valve.criticalRatio": { words: "critical pressure ratio", unit: "" },
  "vent.conductance": { words: "sonic conductance", unit: "m³/(s·Pa)" },
  "vent.criticalRatio": { words: "critical pressure ratio", unit: "" },
  openingS: { words: "opening time", unit: "s" },
  delayS: { words: "delay", unit: "s" },
};
const ORDINALS = ["second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"];

/** An input's name as in RamInputs or the session's launcher, dotted inside valves, in words; the name itself if it has none. */
export function ramInputWords(name: string): InputWords {
  const plain = WORDS[name];
  if (plain) return plain;
  const further = /^moreValves\.(\d+)\.(.+)$/.exec(name);
  const [owner, part] = further
    ? [`${ORDINALS[Number(further[1])] ?? "further"} valve's`, further[2]!]
    : name.startsWith("rodChamber.")
      ? ["vent's", name.slice("rodChamber.".length)]
      : ["valve's", name];
  const of = VALVE[part];
  return of ? { words: `${owner} ${of.words}`, unit: of.unit } : { words: name, unit: "" };
}
