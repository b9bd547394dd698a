import type { z } from "zod";
import type { FaultCode } from "../../shared/quantity/fault-codes.ts";
import { boundedFault, type Fault, FaultError } from "../../shared/quantity/notice.ts";
import { wordIssue } from "../../shared/session/word-issue.ts";

/**
 * The longest body taken: a session with a million marks is about 100 MB, a long day's about 3 MB. Windows
 * send steps, never the document. Reading one so long takes about a gigabyte for a moment.
 */
const BODY_LIMIT_BYTES = 128 * 1024 * 1024;

/** HTTP status of each fault; a fault not listed is unusable data of the person's (422). */
const STATUS: Readonly<Partial<Record<FaultCode, number>>> = {
  "bad-request": 400,
  "bad-clip-name": 400,
  "outside-folder": 403,
  "folder-read-only": 403,
  "file-read-only": 403,
  "no-such-route": 404,
  "no-such-clip": 404,
  "no-such-frame": 404,
  "no-such-job": 404,
  "no-such-folder": 404,
  "not-a-folder": 404,
  "method-not-allowed": 405,
  "session-changed": 409,
  "session-moved-on": 409,
  "folder-not-named": 400,
  "folder-not-open": 410,
  "folder-gone": 410,
  "body-too-large": 413,
  "not-json": 415,
  "folder-busy": 423,
  cancelled: 499,
  "internal-error": 500,
  "disk-full": 507,
};

/** A JSON reply, never kept by the browser. */
export function jsonReply(value: unknown, status = 200): Response {
  return new Response(textOf(value), {
    status,
    headers: {
      "content-type": "application/json; charset=utf-8",
      "cache-control": "no-store",
      "x-content-type-options": "nosniff",
    },
  });
}

function textOf(value: unknown): string {
  try {
    return JSON.stringify(value);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new FaultError(
      "reply-too-large",
      "What was asked for is longer than 500 MB, more than can be sent to a window.",
      "Split the outing into several field folders.",
    );
  }
}

/** The reply for a fault: { error: Fault } with the status of its code. */
export function faultReply(fault: Fault): Response {
  return jsonReply({ error: boundedFault(fault) }, STATUS[fault.code] ?? 422);
}

/**
 * Words whatever was thrown as a fault. A bug is reported to `log` with its stack, and to the person without.
 * @param signal of the work that failed: whatever comes out of aborted work is "cancelled"
 */
export function faultFrom(thrown: unknown, log: (error: unknown) => void, signal?: AbortSignal): Fault {
  if (signal?.aborted === true) return CANCELLED;
  if (thrown instanceof FaultError) return thrown.fault;
  log(thrown);
  return {
    code: "internal-error",
    cause: "Something went wrong inside Loftmark that it did not foresee.",
    remedy: "Try again. If it happens again, report it with the lines that Loftmark wrote to its terminal.",
  };
}

const CANCELLED: Fault = {
  code: "cancelled",
  cause: "The work was stopped before it was done.",
  remedy: "Start it again when you want it.",
};

/** Reads a JSON body that fits a schema. @throws FaultError "not-json", "body-too-large" or "bad-request" */
export async function readBody<T>(request: Request, schema: z.ZodType<T>): Promise<T> {
  const type = request.headers.get("content-type") ?? "";
  if (!/^application\/json\s*(;|$)/i.test(type)) {
    throw new FaultError(
      "not-json",
      `The request's content type is "${type}".`,
      "Send JSON with the content type application/json.",
    );
  }
  const input = parsed(await limitedText(request));
  const result = schema.safeParse(input);
  if (result.success) return result.data;
  const wording = result.error.issues.slice(0, 3).map((issue) => wordIssue(issue, input, {}));
  throw badRequest(wording.join("; "));
}

/** @returns a fault for a request that is not of the contract */
export function badRequest(what: string): FaultError {
  return new FaultError(
    "bad-request",
    `The request does not fit: ${what}.`,
    "Send what the service contract asks for; reload the window if it is an older one.",
  );
}

async function limitedText(request: Request): Promise<string> {
  const chunks: Uint8Array[] = [];
  let length = 0;
  if (Number(request.headers.get("content-length") ?? 0) > BODY_LIMIT_BYTES) throw tooLarge();
  for await (const chunk of (request.body ?? []) as AsyncIterable<Uint8Array>) {
    length += chunk.byteLength;
    if (length > BODY_LIMIT_BYTES) throw tooLarge();
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString("utf8");
}

function tooLarge(): FaultError {
  return new FaultError(
    "body-too-large",
    `The request is longer than ${BODY_LIMIT_BYTES / 1024 / 1024} MB.`,
    "Make the change in smaller parts, or split the outing into several field folders.",
  );
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw badRequest("its body is not JSON");
  }
}
