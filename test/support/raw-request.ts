import { request } from "node:http";
import { connect } from "node:net";

export interface RawReply {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: string;
}

/** One HTTP request with exactly these headers: what a browser would not let a page send can be sent. */
export function rawRequest(
  port: number,
  path: string,
  options: {
    readonly method?: string;
    readonly headers?: Record<string, string>;
    readonly body?: string;
  } = {},
): Promise<RawReply> {
  return new Promise((resolve, reject) => {
    const { method = "GET", headers = {}, body } = options;
    const sent = request({ host: "127.0.0.1", port, path, method, headers, agent: false }, (reply) => {
      const chunks: Buffer[] = [];
      reply.on("data", (chunk: Buffer) => chunks.push(chunk));
      reply.on("end", () =>
        resolve({
          status: reply.statusCode ?? 0,
          headers: reply.headers,
          body: Buffer.concat(chunks).toString(),
        }),
      );
    });
    sent.on("error", reject);
    sent.end(body);
  });
}

/** Sends bytes as they are and gives what comes back until the connection closes. */
export function rawBytes(port: number, text: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, "127.0.0.1", () => socket.write(text));
    let answer = "";
    socket.on("data", (chunk) => {
      answer += chunk;
    });
    socket.on("close", () => resolve(answer));
    socket.on("error", reject);
  });
}
