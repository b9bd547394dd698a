import type { Hash } from "node:crypto";
import type { Session } from "../../shared/session/schema.ts";
import { jsonPieces } from "./json-pieces.ts";

/** The very text that a session is stored as. */
export function sessionText(session: Session): string {
  return [...sessionPieces(session)].join("");
}

/** That text, piece by piece: of a long session never the whole at once. */
export function* sessionPieces(session: Session): Generator<string> {
  yield* jsonPieces(session, 2);
  yield "\n";
}

/** Pieces as bytes, taken into a hash as they pass. */
export function* hashed(pieces: Iterable<string>, hash: Hash): Generator<Uint8Array> {
  for (const piece of pieces) {
    const bytes = Buffer.from(piece);
    hash.update(bytes);
    yield bytes;
  }
}
