import type { Fault } from "../../src/shared/quantity/notice.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";

/** The fault that a call ends with; fails the test when it ends well or with anything but a fault. */
export async function faultOf(promise: Promise<unknown>): Promise<Fault> {
  const error = await promise.then(
    () => new Error("did not throw"),
    (thrown: unknown) => thrown,
  );
  if (!(error instanceof FaultError)) throw error;
  return error.fault;
}
