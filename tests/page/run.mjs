// The page, driven by taps in a real browser: node tests/page/run.mjs [--base URL] [--shots FOLDER]
// Without --base it builds the bundle and drives it against mock_server.mjs, with every state a mock can
// make. With --base it drives what stands there (the real binary), and only what every boat must be able to
// do. TAP on stdout.
import { mkdirSync, mkdtempSync } from "node:fs";
import { execFileSync } from "node:child_process";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { desktop, from_web, open_browser, phone, small_phone, tall_phone } from "./browser.mjs";
import { make_server } from "./mock_server.mjs";
import { tally_checks } from "./tally_checks.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const option = (name) =>
  process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : null;
const shots = option("--shots") ?? mkdtempSync(join(tmpdir(), "dk-page-"));
mkdirSync(shots, { recursive: true });
const AxeBuilder = from_web("@axe-core/playwright").default;

let n = 0,
  bad = 0;
function check(good, name, detail = "") {
  console.log(`${good ? "ok" : "not ok"} ${++n} - ${name}`);
  if (!good) {
    ++bad;
    if (detail)
      console.log(
        String(detail)
          .split("\n")
          .map((line) => `# ${line}`)
          .join("\n"),
      );
  }
}

// ---- what stands there

let base = option("--base"),
  server = null;
const mock = base === null;
if (mock) {
  const out = mkdtempSync(join(tmpdir(), "dk-bundle-"));
  execFileSync("node", [join(here, "..", "..", "web", "build.mjs"), "--out", out], { stdio: "inherit" });
  server = make_server(out);
  await new Promise((go) => server.listen(0, "127.0.0.1", go));
  base = `http://127.0.0.1:${server.address().port}/`;
}
const host = new URL(base).host;
const browser = await open_browser();

// a page with its own storage; watches the console, the network and the words
async function open(size, look, options = {}) {
  const context = await browser.newContext({ ...size, ...options });
  await context.addInitScript((colours) => {
    if (!localStorage.getItem("dk.look")) localStorage.setItem("dk.look", JSON.stringify({ colours }));
    document.addEventListener("readystatechange", () => {
      window.dk_first ??= document.documentElement.dataset.look ?? "none";
    });
  }, look);
  const page = await context.newPage();
  const trouble = [];
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning")
      trouble.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => trouble.push(`page: ${error.message}`));
  page.on("request", (request) => {
    if (new URL(request.url()).host !== host) trouble.push(`off the host: ${request.url()}`);
  });
  return { context, page, trouble };
}

async function mock_set(page, set) {
  if (mock)
    await page.evaluate((body) => fetch("/mock", { method: "POST", body: JSON.stringify(body) }), set);
}

// a tap as a finger does it, and then longer than a wet-glass pause
async function tap(page, what, index = 0) {
  const target = (typeof what === "string" ? page.locator(what) : what).nth(index);
  await target.click();
  await page.waitForTimeout(320);
}
const button = (page, name) => page.getByRole("button", { name, exact: false });
const quiet = (page) =>
  page.waitForFunction(() => !document.querySelector("[aria-busy=true]"), null, { timeout: 120000 });

const never =
  /\b(safe(ly)?|certain(ly)?|errors?|invalid|please|oops|users?|data|fault codes?|probability)\b/i;

// what must hold on every screen
async function look_over(page, name) {
  const faults = await page.evaluate(() => {
    const found = [];
    if (document.documentElement.scrollWidth > window.innerWidth)
      found.push(`sideways: ${document.documentElement.scrollWidth} > ${window.innerWidth}`);
    if (document.querySelectorAll("h1").length !== 1)
      found.push(`${document.querySelectorAll("h1").length} h1`);
    for (const node of document.querySelectorAll("button, input")) {
      const box = node.getBoundingClientRect();
      const after = parseFloat(getComputedStyle(node, "::after").height) || 0;
      if (box.height > 0 && Math.max(box.height, after) < 47.5)
        found.push(`low target ${Math.max(box.height, after)}: ${node.textContent}`);
      if (
        node.scrollWidth > node.clientWidth + 1 &&
        node.tagName === "BUTTON" &&
        getComputedStyle(node).display !== "inline"
      )
        found.push(`beyond its box: ${node.textContent}`);
    }
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      if (!node.textContent.trim() || !node.parentElement.getClientRects().length) continue;
      if (parseFloat(getComputedStyle(node.parentElement).fontSize) < 14)
        found.push(`small text: ${node.textContent}`);
    }
    return found;
  });
  const words = never.exec(await page.evaluate(() => document.body.innerText));
  if (words) faults.push(`a word that is never said: ${words[0]}`);
  check(
    faults.length === 0,
    `${name}: fits, one h1, targets and letters large enough, words`,
    faults.slice(0, 6).join("\n"),
  );
  const axe = await new AxeBuilder({ page }).analyze();
  check(
    axe.violations.length === 0,
    `${name}: axe clean`,
    axe.violations
      .map(
        (row) =>
          `${row.id}: ${row.nodes
            .slice(0, 3)
            .map((node) => node.html)
            .join(" | ")}`,
      )
      .join("\n"),
  );
  await page.screenshot({ path: join(shots, `${name.replace(/[^a-z0-9]+/gi, "-")}.png`) });
}

// answers whatever the page asks until a card with steps stands there
async function to_card(page) {
  for (let i = 0; i < 12; ++i) {
    await quiet(page);
    if (await page.locator(".card .steps, .gate").count()) return;
    await tap(page, (await page.locator(".card .go").count()) ? ".card .go" : ".card .answer");
  }
}

// the screens of their own before the first card
async function pass_by(page) {
  for (let i = 0; i < 4 && (await page.getByRole("button", { name: "Pass by" }).count()); ++i)
    await tap(page, button(page, "Pass by"));
}

async function pass_gates(page) {
  for (let i = 0; i < 12 && (await page.locator(".gate").count()); ++i) {
    if (await page.locator(".gate [role=alert]").count())
      await tap(page, button(page, "Show another check"));
    else await tap(page, ".gate .answer");
    await quiet(page);
  }
}

// answers the card: a figure in the middle of its range, or the first answer
async function answer_card(page) {
  if (await page.locator(".pad").count()) {
    const range = (await page.locator(".pad .range").textContent())
      .replace(/,/g, "")
      .match(/-?[\d.]+/g)
      .map(Number);
    const middle = String(Number(((range[0] + range[1]) / 2).toPrecision(3)));
    for (const key of middle)
      await page
        .locator(".pad-keys button", { hasText: new RegExp(`^${key === "." ? "\\." : key}$`) })
        .first()
        .click();
    await tap(page, ".pad .enter");
  } else await tap(page, ".card .answer");
  await quiet(page);
}

// ---- the whole door, by taps

async function whole_door(size, size_name, look) {
  const name = `${size_name} ${look}`;
  const { context, page, trouble } = await open(size, look, { reducedMotion: "reduce" });
  await page.goto(base);
  await mock_set(page, {});
  await page.waitForSelector(".door-wrong");
  check(
    (await page.evaluate(() => window.dk_first)) === look,
    `${name}: colours stand before the first paint`,
  );
  await look_over(page, `${name} 1 doors`);
  await tap(page, ".door-wrong");
  await tap(page, ".place", 2);
  check((await page.locator(".place.chosen").count()) === 1, `${name}: the place is chosen`);
  await look_over(page, `${name} 2 where`);

  // a red sign takes the screen, and goes when it is not so
  await tap(page, ".red-sign", 0);
  check(
    (await page.locator("header, .may, .tally").count()) === 0 &&
      (await page.locator(".red h1").count()) === 1,
    `${name}: a red rule takes the whole screen`,
  );
  check(
    await page.evaluate(() => document.activeElement?.tagName === "H1"),
    `${name}: the focus goes to the order`,
  );
  await look_over(page, `${name} 3 red`);
  const last = await page.locator(".red-answers button").last().boundingBox();
  check(
    size_name === "320" || last.y + last.height <= page.viewportSize().height,
    `${name}: its four answers are in view`,
    JSON.stringify(last),
  );
  await tap(page, button(page, "It won’t stop"));
  await tap(page, button(page, "No room to stop"));
  check((await page.locator(".red").count()) === 1, `${name}: it leaves only by an answer`);
  await tap(page, button(page, "after all"));
  check((await page.locator(".red").count()) === 0, `${name}: withdrawn, it is gone`);
  await tap(page, ".place", 2);

  await tap(page, ".red-sign.none");
  await page.fill("input[type=search]", "white smoke");
  await page.waitForSelector(".found-one");
  await look_over(page, `${name} 4 notice`);
  await tap(page, ".found-one");
  check((await page.locator(".said li").count()) === 2, `${name}: what is noticed is said`);
  await tap(page, ".go");
  await look_over(page, `${name} 5 last touched`);
  await pass_by(page);
  await page.waitForSelector(".card", { timeout: 120000 });
  await quiet(page);
  await look_over(page, `${name} 6 card`);
  const sum = await page.evaluate(() =>
    [...document.querySelectorAll(".tally .n")].reduce(
      (all, node) => all + parseInt(node.textContent.replace(/\D*(\d+).*/, "$1"), 10),
      0,
    ),
  );
  check(sum === 100, `${name}: the tally is a hundred`, sum);

  await to_card(page);
  await pass_gates(page);
  await look_over(page, `${name} 7 steps`);
  await tap(page, "button.line");
  check((await page.locator(".why").count()) >= 1, `${name}: why opens in place`);
  await look_over(page, `${name} 8 why`);
  await tap(page, "button.line");
  await tap(page, ".strip");
  await look_over(page, `${name} 9 may`);
  await tap(page, ".strip");
  const before = await page.locator(".said li").count();
  await answer_card(page);
  check(
    (await page.locator(".said li").count()) === before + 1,
    `${name}: the answer is said`,
    await page.locator(".said").innerText(),
  );
  await look_over(page, `${name} 10 after the answer`);
  if (mock) {
    check(
      (await page.locator(".strokes .bar").count()) > 0 || (await page.locator(".pad").count()) === 0,
      `${name}: what it lost is struck`,
    );
  }
  if (await page.locator(".card .go").count()) await tap(page, ".card .go");

  // left and taken up
  await page.reload();
  await page.waitForSelector(".card", { timeout: 120000 });
  await quiet(page);
  check((await page.locator(".said li").count()) === before + 1, `${name}: a trace is kept and taken up`);
  await page.locator(".said .link", { hasText: "take back" }).last().click();
  await page.waitForTimeout(400);
  await quiet(page);
  check((await page.locator(".said li").count()) === before, `${name}: taken back`);
  await tap(page, ".back");
  await page.waitForSelector(".door-wrong");
  check(
    (await page.locator(".door-wrong").innerText()).includes("Left open"),
    `${name}: the door tells that it was left open`,
  );
  await tap(page, ".units");
  await look_over(page, `${name} 11 look`);
  check(
    trouble.length === 0,
    `${name}: no request off the host, nothing in the console`,
    trouble.join("\n"),
  );
  await context.close();
}

for (const look of ["day", "red"]) {
  await whole_door(phone, "360", look);
  await whole_door(desktop, "1280", look);
}
await whole_door(small_phone, "320", "contrast");
await whole_door(phone, "360", "amber");

// ---- what only a mock can show

async function to_next(page, set) {
  await page.goto(base);
  await mock_set(page, set);
  await page.waitForSelector(".door-wrong");
  await tap(page, ".door-wrong");
  await tap(page, ".place", 2);
  await tap(page, ".red-sign.none");
  await tap(page, ".go");
  await pass_by(page);
}

async function crowding() {
  const { context, page } = await open(tall_phone, "day");
  await to_next(page, { no_ask: true, first_check: "bowl.look" });
  await page.waitForSelector(".card .steps");
  const line = await page.locator(".tally li").first().boundingBox();
  const strip = await page.locator(".may").boundingBox();
  check(
    (await page.locator(".steps li").count()) === 3 && line.y + line.height <= strip.y + 24,
    "390x844: the first tally line shows under a three-step card",
    JSON.stringify({ line, strip }),
  );
  await context.close();
}

async function taps_and_keys() {
  const { context, page, trouble } = await open(phone, "day");
  await to_next(page, { no_ask: true, first_check: "bowl.look" });
  await page.waitForSelector(".card .steps");
  const said = () => page.locator(".said li").count();
  const at = await page.locator(".card .answer").first().boundingBox();
  const none = await said();
  await page.mouse.click(at.x + 20, at.y + 20);
  await page.waitForTimeout(90);
  await page.mouse.click(at.x + 20, at.y + 20);
  await page.waitForTimeout(500);
  check(
    (await said()) === none + 2 && (await page.locator(".card .go").count()) === 1,
    "two taps within 300 ms count once",
  );
  await page.keyboard.press("Backspace");
  await page.waitForTimeout(400);
  await quiet(page);
  check((await said()) <= none + 1, "Backspace takes back");
  await page.keyboard.press("w");
  await page.waitForTimeout(100);
  check((await page.locator(".why").count()) === 1, "W opens why");
  const title = await page.locator("h1").innerText();
  await page.keyboard.press("2");
  await page.waitForTimeout(400);
  check(
    (await page.locator("h1").innerText()).startsWith("You said") &&
      (await page.locator("h1").innerText()) !== title,
    "2 answers",
  );
  await page.keyboard.press("Enter");
  await page.waitForTimeout(200);
  await page.evaluate(() =>
    localStorage.setItem("dk.look", JSON.stringify({ colours: "day", keys: false })),
  );
  await page.reload();
  await page.waitForSelector(".card");
  const still = await page.locator("h1").innerText();
  await page.keyboard.press("0");
  await page.waitForTimeout(300);
  check((await page.locator("h1").innerText()) === still, "single keys can be switched off");
  check(trouble.length === 0, "taps and keys: nothing in the console", trouble.join("\n"));
  await context.close();
}

async function states() {
  const { context, page } = await open(phone, "day");
  await to_next(page, { bank_ms: 4000 });
  await page.waitForSelector(".loading");
  const words = await page.locator(".loading").innerText();
  check(/^[\d,]+ of 1,536 engines, about \d+ s/.test(words), "a bank that loads says how far it is", words);
  await look_over(page, "state loading");
  await tap(page, ".loading .link");
  await page.waitForTimeout(1200);
  check(
    (await page.locator("h1").innerText()) === "Stopped",
    "it can be stopped",
    await page.locator("h1").innerText(),
  );
  await look_over(page, "state stopped");
  await mock_set(page, { fail: true });
  await tap(page, button(page, "Go on computing"));
  await page.waitForFunction(
    () => document.querySelector("h1")?.textContent?.startsWith("That could not"),
    null,
    { timeout: 10000 },
  );
  check(
    (await page.locator("main").innerText()).includes("Your answers are kept"),
    "a sum that failed says what is kept",
  );
  await look_over(page, "state sum failed");
  await mock_set(page, { nothing: true });
  await tap(page, button(page, "Try it once more"));
  await page.waitForSelector(".card");
  await look_over(page, "state nothing decided");
  check((await page.locator("h1").innerText()).startsWith("Nothing more"), "nothing decided is said");
  await mock_set(page, { unknown: 0.6, no_ask: true, conflict: true });
  await page.reload();
  await page.waitForSelector(".card");
  check(
    (await page.locator(".card-part").innerText()).startsWith("None of these leads"),
    "none of these is said first",
  );
  await look_over(page, "state none of these");

  // the boat's computer goes and comes back
  await mock_set(page, { no_ask: true, first_check: "bowl.look" });
  await page.reload();
  await page.waitForSelector(".card .steps");
  await page.route("**/api/**", (route) => route.abort());
  await tap(page, ".card .answer");
  await page.waitForTimeout(600);
  check(
    (await page.locator(".notice").first().innerText()).startsWith("On the phone alone"),
    "without the boat's computer it says so and keeps the answer",
  );
  await page.unroute("**/api/**");
  await page.waitForFunction(
    () => !document.querySelector("[aria-busy=true]") && !document.querySelector(".notice"),
    null,
    { timeout: 10000 },
  );
  check((await page.locator(".said li").count()) >= 2, "and goes on when it is back");
  await context.close();
}

async function gates_and_figures() {
  const { context, page } = await open(phone, "day");
  await to_next(page, { no_ask: true, first_check: "battery.rest" });
  await page.waitForSelector(".gate");
  check((await page.locator(".steps").count()) === 0, "no step is shown before its gate");
  await tap(page, ".gate .answer", 1);
  check(
    (await page.locator(".steps").count()) === 0 &&
      (await page.locator(".gate [role=alert]").count()) === 1,
    "an answer that does not open it shows no step",
  );
  await look_over(page, "gate shut");
  await tap(page, button(page, "Ask me again"));
  await pass_gates(page);
  await page.waitForSelector(".pad");
  for (const key of ["9", "9"])
    await page.locator(".pad-keys button", { hasText: new RegExp(`^${key}$`) }).click();
  await tap(page, ".pad .enter");
  check(
    (await page.locator(".range.odd").innerText()).includes("Type it again"),
    "a figure out of range is asked again",
    await page.locator(".range").innerText(),
  );
  await tap(page, ".display button");
  await tap(page, ".display button");
  for (const key of ["1", "2", ".", "1"])
    await page
      .locator(".pad-keys button", { hasText: new RegExp(`^${key === "." ? "\\." : key}$`) })
      .click();
  const [request] = await Promise.all([
    page.waitForRequest("**/api/trace"),
    page.locator(".pad .enter").click(),
  ]);
  check(
    JSON.parse(request.postData()).done["battery.rest"] === "12.1 V",
    "a figure goes out with its unit",
    request.postData(),
  );
  await context.close();
}

if (mock) {
  await crowding();
  await taps_and_keys();
  await gates_and_figures();
  await states();
  for (const [good, name, detail] of await tally_checks()) check(good, name, detail);
}

await browser.close();
server?.close();
console.log(`1..${n}`);
console.log(`${n - bad} passed, ${bad} failed; screenshots in ${shots}`);
process.exit(bad === 0 ? 0 : 1);
