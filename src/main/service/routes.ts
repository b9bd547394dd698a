import { FaultError } from "../../shared/quantity/notice.ts";
import { badRequest, faultReply } from "./replies.ts";

/** Answers one way to use a path; the parts are the path's groups, unescaped. */
export type Handler = (request: Request, ...parts: string[]) => Promise<Response> | Response;

export interface Route {
  readonly path: RegExp;
  readonly methods: Readonly<Record<string, Handler>>;
}

/**
 * Answers a request by the route that its path fits.
 * @throws FaultError "no-such-route", "bad-request", or what the route's handler throws
 */
export async function answerBy(routes: readonly Route[], request: Request): Promise<Response> {
  const { pathname } = new URL(request.url);
  for (const { path, methods } of routes) {
    const match = path.exec(pathname);
    if (match === null) continue;
    const handler = methods[request.method];
    if (handler !== undefined) return handler(request, ...match.slice(1).map(decoded));
    const reply = faultReply({
      code: "method-not-allowed",
      cause: `${request.method} is not a way to use ${pathname}.`,
      remedy: `Use ${Object.keys(methods).join(" or ")}.`,
    });
    reply.headers.set("allow", Object.keys(methods).join(", "));
    return reply;
  }
  throw new FaultError(
    "no-such-route",
    `The service has nothing at ${pathname}.`,
    "Reload the window, so that it and the service are of one version.",
  );
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    throw badRequest("its address has a broken escape");
  }
}
