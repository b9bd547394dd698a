import { buildIfStale } from "../tools/build-if-stale.mjs";

/** Before any test that reads out/: builds it when a source is newer. */
export default function setup(): void {
  if (!buildIfStale()) throw new Error("The build failed, so the tests of what is built cannot run.");
}
