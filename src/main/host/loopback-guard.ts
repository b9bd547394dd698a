import { createHash, timingSafeEqual } from "node:crypto";

/** The parts of a request that decide who asks. Header names in lower case. */
export interface Asked {
  readonly method: string;
  readonly url: string;
  readonly headers: Readonly<Record<string, string | readonly string[] | undefined>>;
}

export type Passage =
  | { readonly kind: "pass" }
  /** The address with the right token: remember it in a cookie and go on to the page without it. */
  | { readonly kind: "enter"; readonly cookie: string }
  | { readonly kind: "refuse"; readonly status: number; readonly cause: string; readonly remedy: string };

const READING = new Set(["GET", "HEAD"]);

/**
 * Decides who may ask the loopback host. Other programs and web pages on the same machine can reach its port,
 * so: the Host must be the very address that was opened (a page that had its name rebound to 127.0.0.1 sends
 * its own name); a foreign Origin is refused; a secret token must come as a cookie or as "Authorization:
 * Bearer"; and what changes something by cookie must say that it comes from this page. The port is part of
 * the cookie's name, since browsers do not keep the cookies of ports apart.
 */
export function createLoopbackGuard(port: number, token: string): (asked: Asked) => Passage {
  const host = `127.0.0.1:${port}`;
  const origin = `http://${host}`;
  const cookieName = `loftmark-${port}`;

  return ({ method, url, headers }) => {
    if (headers.host !== host) {
      return refuse(
        421,
        "This address is not the one that Loftmark listens at.",
        `Open ${origin} as printed.`,
      );
    }
    if (headers.origin !== undefined && headers.origin !== origin) {
      return refuse(
        403,
        "The request came from another page, not from Loftmark's own.",
        "Use Loftmark in its own window.",
      );
    }
    const site = headers["sec-fetch-site"];
    const navigation = method === "GET" && headers["sec-fetch-mode"] === "navigate";
    if ((site === "cross-site" || site === "same-site") && !navigation) {
      return refuse(
        403,
        "The request came from another page, not from Loftmark's own.",
        "Use Loftmark in its own window.",
      );
    }
    const bearer = /^Bearer (.+)$/.exec(text(headers.authorization))?.[1];
    if (bearer !== undefined && same(bearer, token)) return { kind: "pass" };
    const asked = new URL(url, origin);
    const given = asked.searchParams.get("token");
    if (asked.pathname === "/" && READING.has(method) && given !== null && same(given, token)) {
      return { kind: "enter", cookie: `${cookieName}=${token}; HttpOnly; SameSite=Strict; Path=/` };
    }
    if (!cookiesNamed(cookieName, text(headers.cookie)).some((value) => same(value, token))) {
      return refuse(
        401,
        "This page was opened without its key.",
        "Open the whole address that Loftmark printed in its terminal, with the part after the question mark.",
      );
    }
    if (!READING.has(method) && headers.origin === undefined) {
      return refuse(
        403,
        "The request does not say which page it comes from.",
        "Use Loftmark in its own window.",
      );
    }
    return { kind: "pass" };
  };
}

function refuse(status: number, cause: string, remedy: string): Passage {
  return { kind: "refuse", status, cause, remedy };
}

/** Compares in constant time, whatever the lengths. */
function same(given: string, token: string): boolean {
  const digest = (value: string) => createHash("sha256").update(value).digest();
  return timingSafeEqual(digest(given), digest(token));
}

function cookiesNamed(name: string, header: string): string[] {
  return header
    .split(";")
    .map((pair) => pair.trim())
    .filter((pair) => pair.startsWith(`${name}=`))
    .map((pair) => pair.slice(name.length + 1));
}

function text(header: string | readonly string[] | undefined): string {
  return typeof header === "string" ? header : "";
}
