/** Room, way and depth in the page's address, so that a place in a plan can be sent to somebody: `#way-in/out/612mm`. */
import { effect } from "@preact/signals";
import { depth, way } from "./store.ts";

const form = /^#way-in(?:\/(in|out)\/(\d+(?:\.\d+)?)mm)?$/;

export function readAddress(): void {
  const found = form.exec(location.hash);
  if (found?.[1] === undefined || found[2] === undefined) return;
  way.value = found[1] as "in" | "out";
  depth.value = Number(found[2]) / 1000;
}

/** Keeps the address in step from now on; the history is not filled with it. */
export function followAddress(): void {
  let timer = 0;
  effect(() => {
    const address = `#way-in/${way.value}/${Number((depth.value * 1000).toFixed(1))}mm`;
    clearTimeout(timer);
    timer = window.setTimeout(() => history.replaceState(null, "", address), 150);
  });
  addEventListener("hashchange", readAddress);
}
