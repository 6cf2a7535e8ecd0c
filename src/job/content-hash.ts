/**
 * FNV-1a, 64 bit: a fingerprint of a file's bytes, to tell whether a result still belongs to its inputs. No protection against intent.
 *
 * @returns 16 lower-case hexadecimal digits
 * @see docs/sources.md#content-hash
 */
export function contentHash(bytes: Uint8Array): string {
  // the 64-bit state in two halves; the prime is 2^40 + 0x1b3
  let high = 0xcbf29ce4;
  let low = 0x84222325;
  for (let k = 0; k < bytes.length; k++) {
    low = (low ^ (bytes[k] as number)) >>> 0;
    const product = low * 0x1b3;
    const carry = Math.floor(product / 0x100000000);
    high = (high * 0x1b3 + carry + ((low << 8) >>> 0)) % 0x100000000;
    low = product % 0x100000000;
  }
  return high.toString(16).padStart(8, "0") + low.toString(16).padStart(8, "0");
}
