// The sockets of `donkeyman serve`: node tests/page/http.mjs --base http://127.0.0.1:PORT/   (TAP)
// What reply.c decides has its own unit test; here is what only a socket shows.
import { connect } from "node:net";

const base = new URL(process.argv[process.argv.indexOf("--base") + 1]);
let n = 0,
  bad = 0;
function check(good, name, detail = "") {
  console.log(`${good ? "ok" : "not ok"} ${++n} - ${name}`);
  if (!good) {
    ++bad;
    console.log(`# ${String(detail).slice(0, 400)}`);
  }
}

// one request as raw text; the whole reply as text once it is closed or quiet
function raw(text, pieces = [text]) {
  return new Promise((done) => {
    const socket = connect(Number(base.port), "127.0.0.1");
    let got = "";
    socket.setTimeout(4000, () => socket.destroy());
    socket.on("data", (bytes) => {
      got += bytes.toString("latin1");
    });
    socket.on("close", () => done(got));
    socket.on("error", () => {});
    socket.on("connect", async () => {
      for (const piece of pieces) {
        socket.write(piece, "latin1");
        await new Promise((go) => setTimeout(go, 40));
      }
    });
  });
}
const host = base.host;
const get = (path, extra = "") =>
  raw(`GET ${path} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n${extra}\r\n`);
const status = (reply) => Number(reply.split(" ")[1]);
const post = (path, body, extra = "Content-Type: application/json\r\n", length = Buffer.byteLength(body)) =>
  `POST ${path} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n` +
  `${extra}Content-Length: ${length}\r\n\r\n${body}`;

const page = await get("/");
check(status(page) === 200 && page.includes("<!doctype html>"), "the page", page);
for (const line of [
  "Content-Security-Policy: default-src 'none'; script-src 'self'",
  "X-Content-Type-Options: nosniff",
  "Referrer-Policy: no-referrer",
  "Cache-Control: no-store",
]) {
  check(page.includes(line), `the page carries ${line.split(":")[0]}`, page.slice(0, 900));
}
check(
  !/<script(?![^>]*src=)[^>]*>/.test(page) && !/ style=| on[a-z]+=/.test(page),
  "no inline script, style or handler",
);
const script = /src="(\/app\.[0-9a-f]{12}\.js)"/.exec(page)?.[1];
const code = await get(script ?? "/none");
check(
  status(code) === 200 && code.includes("immutable"),
  "its script has its hash in the path and may be kept",
  code.slice(0, 500),
);
check(
  !/https?:\/\/(?!www\.w3\.org)/.test(code.split("\r\n\r\n")[1] ?? ""),
  "the script names no other host",
  /https?:\/\/[^"'` ]+/.exec(code.split("\r\n\r\n")[1] ?? "")?.[0],
);
const head = await raw(`HEAD / HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
check(status(head) === 200 && head.endsWith("\r\n\r\n"), "HEAD has no body");

check(
  status(await raw("GET / HTTP/1.1\r\nHost: boat.example\r\nConnection: close\r\n\r\n")) === 403,
  "another Host is refused",
);
check(
  status(
    await raw(
      post("/api/trace", "{}", "Content-Type: application/json\r\nOrigin: http://boat.example\r\n"),
    ),
  ) === 403,
  "another page's request is refused",
);
const none = await get("/api/nothing");
check(
  status(none) === 404 && JSON.parse(none.split("\r\n\r\n")[1]).error.what.length > 5,
  "no such path: one sentence as JSON",
  none,
);
const method = await raw(`DELETE /api/start HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
check(
  status(method) === 405 && /\r\nAllow: GET, HEAD\r\n/.test(method),
  "another method: 405 and what it knows",
  method,
);
check(
  status(await raw(post("/api/trace", "{}", "Content-Type: text/plain\r\n"))) === 415,
  "a body that is not JSON by its type: 415",
);
check(
  [400, 413].includes(status(await raw(post("/api/trace", "x".repeat(300000))))),
  "a body that is too long is refused",
);
check(
  status(await raw(post("/api/trace", "\xff\xfe", undefined, 2))) === 400,
  "a body that is no text: 400",
);
check(status(await get("/api/start")) === 200, "start");
check(status(await get("/api/list/signs")) === 200, "a list");

// a body in pieces is one body; half a request ends nothing
const whole = post("/api/trace", '{"observed": {}}');
const cut = whole.indexOf("\r\n\r\n") + 8;
const pieces = await raw(whole, [whole.slice(0, 30), whole.slice(30, cut), whole.slice(cut)]);
check(
  status(pieces) !== 400 && pieces.startsWith("HTTP/1.1"),
  "a body in pieces arrives whole",
  pieces.slice(0, 300),
);
const half = connect(Number(base.port), "127.0.0.1");
half.write(
  `POST /api/trace HTTP/1.1\r\nHost: ${host}\r\n` +
    "Content-Type: application/json\r\nContent-Length: 999\r\n\r\n{",
);
await new Promise((go) => setTimeout(go, 100));
half.destroy();
check(status(await get("/")) === 200, "half a request ends nothing");

// many at once
const many = await Promise.all(Array.from({ length: 24 }, () => get("/")));
check(
  many.every((reply) => status(reply) === 200),
  "24 at once are answered",
);
console.log(`1..${n}`);
console.log(`${n - bad} passed, ${bad} failed`);
process.exit(bad === 0 ? 0 : 1);
