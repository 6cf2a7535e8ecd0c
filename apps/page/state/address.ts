/**
 * The page's address tells its room and the place in it, so that it can be sent to somebody: `#way-in/out/612mm`, `#arm/payload/3` (the
 * third section).
 */
import { batch, effect } from "@preact/signals";
import { armMaps, armSection, armTabs } from "./arm-room.ts";
import { depth, room, way } from "./store.ts";

const wayIn = /^#way-in(?:\/(in|out)\/(\d+(?:\.\d+)?)mm)?$/;
const arm = /^#arm(?:\/([a-z]+)(?:\/(\d+))?)?$/;

export function readAddress(): void {
  const toArm = arm.exec(location.hash);
  const toWay = wayIn.exec(location.hash);
  batch(() => {
    if (toArm !== null) {
      room.value = "arm";
      const tab = armTabs.find((one) => one === toArm[1]);
      if (tab !== undefined) armMaps.value = tab;
      if (toArm[2] !== undefined) armSection.value = Math.max(0, Number(toArm[2]) - 1);
    } else if (toWay !== null) {
      room.value = "way-in";
      if (toWay[1] === undefined || toWay[2] === undefined) return;
      way.value = toWay[1] as "in" | "out";
      depth.value = Number(toWay[2]) / 1000;
    }
  });
}

/** Keeps the address in step from now on; the history is not filled with it. */
export function followAddress(): void {
  let timer = 0;
  effect(() => {
    const address =
      room.value === "arm"
        ? `#arm/${armMaps.value}/${armSection.value + 1}`
        : `#way-in/${way.value}/${Number((depth.value * 1000).toFixed(1))}mm`;
    clearTimeout(timer);
    timer = window.setTimeout(() => history.replaceState(null, "", address), 150);
  });
  // told in the same task that moves the history, so that a place still to be written cannot land on the entry gone to
  addEventListener("popstate", () => {
    clearTimeout(timer);
    readAddress();
  });
}
