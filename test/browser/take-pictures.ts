/** Takes the pictures of docs/pictures from the real page over the default example: `npx tsx test/browser/take-pictures.ts`,
 * with `arm` or `way-in` behind it for those of one room. */
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { openBrowser, serveJob } from "./open-page.ts";

const example = fileURLToPath(new URL("../../examples/valve-gallery/job.yaml", import.meta.url));
const folder = fileURLToPath(new URL("../../docs/pictures/", import.meta.url));

const pictures = [
  { name: "way-in", place: "#way-in", width: 1280, height: 720, colorScheme: "light" },
  { name: "way-in-dark", place: "#way-in", width: 1280, height: 720, colorScheme: "dark" },
  { name: "way-in-wide", place: "#way-in", width: 1920, height: 1080, colorScheme: "light" },
  { name: "way-in-tablet", place: "#way-in", width: 1024, height: 768, colorScheme: "light" },
  { name: "arm", place: "#arm/payload/2", width: 1280, height: 720, colorScheme: "light" },
  { name: "arm-dark", place: "#arm/backbones/1", width: 1280, height: 720, colorScheme: "dark" },
  { name: "arm-wide", place: "#arm/rest/1", width: 1920, height: 1080, colorScheme: "light" },
  { name: "arm-tablet", place: "#arm/broken/1", width: 1024, height: 768, colorScheme: "light" },
] as const;

mkdirSync(folder, { recursive: true });
const served = await serveJob(example);
const browser = await openBrowser();
try {
  for (const { name, place, width, height, colorScheme } of pictures.filter((one) => one.name.startsWith(process.argv[2] ?? ""))) {
    const page = await browser.newPage({ viewport: { width, height }, colorScheme, reducedMotion: "reduce" });
    await page.goto(`${served.address}/${place}`);
    await page.waitForSelector(place.startsWith("#arm") ? ".arm-maps [data-state=done]" : "[data-test=answer]");
    // software rendering needs its time for the last frame and the tip camera's picture
    await page.waitForTimeout(6000);
    if (place === "#way-in")
      await page.waitForFunction(() => document.querySelector("[data-test=tip-scale]")?.textContent?.includes(", in view"));
    await page.screenshot({ path: `${folder}${name}.png` });
    await page.close();
  }
} finally {
  await browser.close();
  await served.close();
}
