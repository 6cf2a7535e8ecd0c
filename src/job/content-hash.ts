/**
 * FNV-1a, 64 bit: a fingerprint of a file's bytes, to tell whether a result still belongs to its inputs. No protection against intent.
 *
 * @returns 16 lower-case hexadecimal digits
 * @see docs/sources.md#content-hash
 */
export function contentHash(bytes: Uint8Array): string {
  // the 64-bit state as a high word and two low half-words; the prime is 2^40 + 435, so that 32-bit products suffice
  let high = 0xcbf29ce4 | 0;
  let middle = 0x8422;
  let low = 0x2325;
  for (let k = 0; k < bytes.length; k++) {
    low ^= bytes[k] as number;
    const first = low * 435;
    const second = middle * 435 + (first >>> 16);
    high = (Math.imul(high, 435) + (second >>> 16) + (((middle << 16) | low) << 8)) | 0;
    middle = second & 0xffff;
    low = first & 0xffff;
  }
  const digits = (word: number, count: number): string => (word >>> 0).toString(16).padStart(count, "0");
  return digits(high, 8) + digits(middle, 4) + digits(low, 4);
}
