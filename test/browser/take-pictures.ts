/** Takes the pictures of docs/pictures from the real page over the default example: `npx tsx test/browser/take-pictures.ts`. */
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { openBrowser, serveJob } from "./open-page.ts";

const example = fileURLToPath(new URL("../../examples/valve-gallery/job.yaml", import.meta.url));
const folder = fileURLToPath(new URL("../../docs/pictures/", import.meta.url));

const pictures = [
  { name: "way-in", width: 1280, height: 720, colorScheme: "light" },
  { name: "way-in-dark", width: 1280, height: 720, colorScheme: "dark" },
  { name: "way-in-wide", width: 1920, height: 1080, colorScheme: "light" },
  { name: "way-in-tablet", width: 1024, height: 768, colorScheme: "light" },
] as const;

mkdirSync(folder, { recursive: true });
const served = await serveJob(example);
const browser = await openBrowser();
try {
  for (const { name, width, height, colorScheme } of pictures) {
    const page = await browser.newPage({ viewport: { width, height }, colorScheme, reducedMotion: "reduce" });
    await page.goto(served.address);
    await page.waitForSelector("[data-test=answer]");
    // software rendering needs its time for the last frame and the tip camera's picture
    await page.waitForTimeout(6000);
    await page.screenshot({ path: `${folder}${name}.png` });
    await page.close();
  }
} finally {
  await browser.close();
  await served.close();
}
