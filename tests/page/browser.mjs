// Chromium of Debian through playwright-core, as every page test opens it.
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
export const from_web = createRequire(join(here, "..", "..", "web", "package.json"));
const { chromium } = from_web("playwright-core");

export async function open_browser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

export const phone = {
  viewport: { width: 360, height: 740 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
};
export const tall_phone = {
  viewport: { width: 390, height: 844 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
};
export const small_phone = {
  viewport: { width: 320, height: 640 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
};
export const desktop = { viewport: { width: 1280, height: 800 } };
