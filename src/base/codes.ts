/** Every fault code there is. docs/errors.md explains each; a test holds the two together. */
export const faultCodes = [
  "arm.section-layout",
  "arm.rods",
  "arm.cables",
  "arm.cross-section",
  "arm.value",
  "arm.tool",
  "solve.size",
] as const;

export type FaultCode = (typeof faultCodes)[number];
