/** Throws when the program itself is wrong. Never used for bad input. */
export function assert(condition: boolean, message: string): asserts condition {
  if (!condition) throw new Error(`bug: ${message}`);
}
