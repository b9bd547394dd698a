import { IntegrationError } from "./integrate.ts";

/**
 * What some work gives, null where its equations cannot be followed: for neighbours of a launch that is known
 * to exist, and trial places of a fit, of which nothing more needs to be said.
 * @throws whatever else the work throws
 */
export function ifIntegrable<T>(work: () => T): T | null {
  try {
    return work();
  } catch (error) {
    if (error instanceof IntegrationError) return null;
    throw error;
  }
}
