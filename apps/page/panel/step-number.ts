/** A written number one small step up or down, its unit and its digits kept: for the arrow keys. */

const form = /^(-?\d*\.?\d+)(\s*[^\d\s.].*)?$/;

/** @returns undefined for what is no single number, as a range */
export function stepNumber(text: string, way: 1 | -1): string | undefined {
  const found = form.exec(text.trim());
  const written = found?.[1];
  const unit = found?.[2] ?? "";
  if (written === undefined || unit.includes("..") || unit.includes("+")) return undefined;
  const value = Number(written);
  const decimals = written.split(".")[1]?.length ?? 0;
  // a count goes by one
  if (unit.trim() === "" && decimals === 0) return String(Math.max(0, value + way));
  const size = 10 ** Math.floor(Math.log10(Math.abs(value) || 1));
  const lead = Math.abs(value) / size;
  const step = size * (lead < 2 ? 0.05 : lead < 5 ? 0.1 : 0.2);
  const places = Math.max(decimals, -Math.floor(Math.log10(step) + 1e-9));
  const next = (Math.round(value / step) + way) * step;
  return `${Number(next.toFixed(Math.max(0, places)))}${unit}`;
}
