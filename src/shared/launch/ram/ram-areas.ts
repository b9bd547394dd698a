import type { RamInputs } from "./ram-inputs.ts";

/**
 * m² of the piston that the drive chamber's gas pushes on, and of the ring round the rod that a closed rod
 * side pushes back on; 0 without.
 */
export function ramAreas({ boreM, rodChamber }: Pick<RamInputs, "boreM" | "rodChamber">): {
  readonly drive: number;
  readonly rodSide: number;
} {
  const drive = (Math.PI / 4) * boreM ** 2;
  return { drive, rodSide: rodChamber ? drive - (Math.PI / 4) * rodChamber.rodDiameterM ** 2 : 0 };
}
