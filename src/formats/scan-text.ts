/**
 * Words and numbers straight from bytes: a text of hundreds of megabytes never becomes one string.
 * ASCII is all that the mesh formats need; other bytes are part of a word.
 */

/** Where a scan stands. */
export interface TextScan {
  readonly bytes: Uint8Array;
  /** next byte */
  at: number;
  /** one past the last byte that may be read */
  end: number;
  /** first line is 1 */
  line: number;
}

export function createTextScan(bytes: Uint8Array, at = 0, end = bytes.length): TextScan {
  // a byte order mark says nothing here
  const mark = at === 0 && end >= 3 && bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf;
  return { bytes, at: mark ? 3 : at, end, line: 1 };
}

const newline = 10;
const space = 32;

/** Moves to the next word, over line ends too. @returns whether there is one */
export function skipBlank(scan: TextScan): boolean {
  const { bytes, end } = scan;
  let at = scan.at;
  let line = scan.line;
  while (at < end && bytes[at]! <= space) {
    if (bytes[at] === newline) line++;
    at++;
  }
  scan.at = at;
  scan.line = line;
  return at < end;
}

/** Moves to the next word of this line. @returns whether there is one */
export function skipSpaces(scan: TextScan): boolean {
  const { bytes, end } = scan;
  let at = scan.at;
  while (at < end && bytes[at]! <= space && bytes[at] !== newline) at++;
  scan.at = at;
  return at < end && bytes[at] !== newline;
}

/** Moves behind the end of this line. */
export function skipLine(scan: TextScan): void {
  const next = scan.bytes.indexOf(newline, scan.at);
  if (next < 0 || next >= scan.end) {
    scan.at = scan.end;
    return;
  }
  scan.at = next + 1;
  scan.line++;
}

/** Moves behind this word when it is the given one (lower case, in any case). */
export function takeWord(scan: TextScan, word: string): boolean {
  const { bytes, end, at } = scan;
  const n = word.length;
  if (at + n > end || (at + n < end && bytes[at + n]! > space)) return false;
  for (let k = 0; k < n; k++) {
    const code = word.charCodeAt(k);
    const byte = bytes[at + k]!;
    if (byte !== code && !(byte >= 65 && byte <= 90 && byte + 32 === code)) return false;
  }
  scan.at = at + n;
  return true;
}

/** What is left of this line, less the blanks round it, as UTF-8; the scan stands at its end. Blanks within are one each. */
export function takeRest(scan: TextScan): string {
  const { bytes, end } = scan;
  const next = bytes.indexOf(newline, scan.at);
  const to = next < 0 || next > end ? end : next;
  const text = new TextDecoder().decode(bytes.subarray(scan.at, Math.min(to, scan.at + 1000)));
  scan.at = to;
  return text.trim().replace(/\s+/g, " ");
}

/** The word that begins here, cut to 40 characters for a message; the scan stays. */
export function peekWord(scan: TextScan): string {
  const { bytes, end, at } = scan;
  let to = at;
  while (to < end && to < at + 40 && bytes[to]! > space) to++;
  return sayBytes(bytes, at, to);
}

/**
 * The number that begins here, rounded as the language rounds it: up to 15 digits and powers to 22 are exact in doubles, so
 * that one product or quotient rounds once; anything else goes through the language's own reading.
 *
 * @returns NaN where the word is no decimal number; the scan is behind the word then too
 */
export function takeNumber(scan: TextScan): number {
  const { bytes, end } = scan;
  const from = scan.at;
  let at = from;
  let negative = false;
  if (at < end && (bytes[at] === 43 || bytes[at] === 45)) negative = bytes[at++] === 45;
  let mantissa = 0;
  let digits = 0;
  let places = 0;
  let dot = false;
  let any = false;
  for (; at < end; at++) {
    const digit = bytes[at]! - 48;
    if (digit >= 0 && digit <= 9) {
      any = true;
      if (digits > 0 || digit > 0) {
        digits++;
        if (digits <= 15) mantissa = mantissa * 10 + digit;
      }
      if (dot) places++;
    } else if (digit === -2 && !dot) dot = true;
    else break;
  }
  let power = 0;
  let sound = any;
  if (any && at < end && (bytes[at] === 101 || bytes[at] === 69)) {
    at++;
    let down = false;
    if (at < end && (bytes[at] === 43 || bytes[at] === 45)) down = bytes[at++] === 45;
    const first = at;
    for (; at < end && bytes[at]! >= 48 && bytes[at]! <= 57; at++) if (power < 10000) power = power * 10 + bytes[at]! - 48;
    sound = at > first;
    if (down) power = -power;
  }
  if (at < end && bytes[at]! > space) {
    sound = false;
    while (at < end && bytes[at]! > space) at++;
  }
  scan.at = at;
  if (!sound) return Number.NaN;
  const scale = power - places;
  let value: number;
  if (digits <= 15 && scale >= -22 && scale <= 22) value = scale < 0 ? mantissa / powers[-scale]! : mantissa * powers[scale]!;
  else return Number(sayBytes(bytes, from, at));
  return negative ? -value : value;
}

/** 1e0 to 1e22, the powers of ten that doubles hold exactly. */
const powers = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/** Bytes as text, one character a byte. */
export function sayBytes(bytes: Uint8Array, from: number, to: number): string {
  let text = "";
  for (let k = from; k < to; k++) text += String.fromCharCode(bytes[k]!);
  return text;
}
