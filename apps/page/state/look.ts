/** Light or dark, millimetres or inches, of the person's choosing and kept for the next visit. */
import { effect } from "@preact/signals";
import { lengthUnit, theme } from "./store.ts";

export function startLook(): void {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const kept = recall("withy-theme");
  theme.value = kept === "dark" || kept === "light" ? kept : dark.matches ? "dark" : "light";
  lengthUnit.value = recall("withy-length") === "in" ? "in" : "mm";
  dark.addEventListener("change", () => {
    if (recall("withy-theme") === null) theme.value = dark.matches ? "dark" : "light";
  });
  effect(() => {
    document.documentElement.dataset["theme"] = theme.value;
  });
}

export function chooseTheme(to: "light" | "dark"): void {
  theme.value = to;
  keep("withy-theme", to);
}

export function chooseLength(to: "mm" | "in"): void {
  lengthUnit.value = to;
  keep("withy-length", to);
}

/** A browser may refuse to keep anything; the page works without. */
function recall(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

function keep(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // not kept, then
  }
}
